// JupyterLab loads this file as it is: no build step. A notebook of the workbook runs when it is opened, and then stands
// at its top. Only cells whose source is exactly as shipped are run (shipped.json: their SHA-256, written when the
// notebooks are stored); every other cell is left alone and named in one line above the notebook. A derivation, which
// its tag marks, keeps its stored answer until it is run by hand. Where the kernel still has the notebook's pages,
// nothing is run twice. A “Run All” by hand ends at the top too.
var _JUPYTERLAB;
(function () {
  const HERE = document.currentScript.src.replace(/[^/]*$/, "");
  const VIEW = "application/vnd.jupyter.widget-view+json";
  const RUN_ALL = ["notebook:run-all-cells", "runmenu:run-all", "notebook:restart-run-all", "runmenu:restart-and-run-all"];

  const DERIVATION = "skip-execution";   // the tag that rebuild.py puts on a cell which needs SymPy
  const SILENT = 15000;   // ms
  const NARROW = 760;   // px, as in page.css

  /** SHA-256 of a text, as hex. The browser's own stands only on https pages, and a class's server has none. */
  function sha256(text) {
    const bytes = new TextEncoder().encode(text), size = bytes.length, blocks = (size + 9 + 63) >> 6;
    const padded = new Uint8Array(blocks * 64), view = new DataView(padded.buffer), w = new Uint32Array(64);
    padded.set(bytes);
    padded[size] = 0x80;
    view.setUint32(padded.length - 4, size * 8);
    const primes = [], root = (x, power) => Math.floor((x ** power % 1) * 2 ** 32);
    for (let n = 2; primes.length < 64; n++) if (primes.every(p => n % p)) primes.push(n);
    const h = primes.slice(0, 8).map(p => root(p, 1 / 2)), k = primes.map(p => root(p, 1 / 3));
    const turn = (x, n) => (x >>> n) | (x << (32 - n));
    for (let at = 0; at < padded.length; at += 64) {
      for (let i = 0; i < 64; i++) {
        if (i < 16) { w[i] = view.getUint32(at + 4 * i); continue; }
        const a = w[i - 15], b = w[i - 2];
        w[i] = w[i - 16] + (turn(a, 7) ^ turn(a, 18) ^ (a >>> 3)) + w[i - 7] + (turn(b, 17) ^ turn(b, 19) ^ (b >>> 10));
      }
      const s = [...h];
      for (let i = 0; i < 64; i++) {
        const [a, b, c, d, e, f, g, last] = s;
        const one = last + (turn(e, 6) ^ turn(e, 11) ^ turn(e, 25)) + ((e & f) ^ (~e & g)) + k[i] + w[i];
        const two = (turn(a, 2) ^ turn(a, 13) ^ turn(a, 22)) + ((a & b) ^ (a & c) ^ (b & c));
        s.unshift((one + two) | 0);
        s[4] = (d + one) | 0;
        s.pop();
      }
      for (let i = 0; i < 8; i++) h[i] = (h[i] + s[i]) | 0;
    }
    return h.map(x => (x >>> 0).toString(16).padStart(8, "0")).join("");
  }

  let shared = {};   // JupyterLab's own modules
  const module = async name => (await Object.values(shared[name])[0].get())();

  function plugin({INotebookTracker, NotebookActions}, {Widget}) {
    const shipped = fetch(`${HERE}shipped.json`).then(answer => answer.json()).then(list => new Set(list));
    const seen = new WeakSet(), source = cell => cell.model.sharedModel.getSource();

    /** outputs without the live views: an earlier day's are in no kernel any more, and would stand there as errors */
    const stills = outputs => outputs.map(output => {
      const {[VIEW]: gone, ...data} = output.data || {};
      return output.data ? {...output, data} : output;
    });

    /** each cell's live views, by output */
    const views = cells => cells.map(cell => cell.model.sharedModel.getOutputs().map(output => output.data?.[VIEW] || null));

    /** the widgets that a kernel has; a browser's own kernel does not answer that question, and has none after a reload */
    const widgets = kernel => Promise.race([
      kernel.requestCommInfo({target_name: "jupyter.widget"}).then(answer => answer.content.comms || {}),
      new Promise(done => setTimeout(() => done({}), SILENT)),
    ]);

    // The file stays as it is when a notebook is opened. So that a page loaded again finds the pages that the kernel
    // has, the browser remembers them, by kernel: [[hash of the cell, its views], …]
    const MEMORY = "springpass-lab", MOST = 40;
    const memory = () => JSON.parse(localStorage.getItem(MEMORY) || "[]");
    function remember(kernel, cells) {
      const rows = views(cells).map((found, at) => [sha256(source(cells[at])), found]);
      localStorage.setItem(MEMORY, JSON.stringify([[kernel, rows], ...memory().filter(([id]) => id !== kernel)].slice(0, MOST)));
    }
    function recalled(kernel, cells) {
      const rows = memory().find(([id]) => id === kernel)?.[1];
      const same = rows?.length === cells.length && rows.every(([hash], at) => hash === sha256(source(cells[at])));
      return same ? rows.map(([, found]) => found) : null;
    }
    function showAgain(cell, found) {
      if (!found.some(Boolean)) return;
      const outputs = cell.model.sharedModel.getOutputs();
      cell.model.trusted = true;   // it was run here
      cell.model.sharedModel.setOutputs(found.map((view, at) =>
        ({output_type: "display_data", metadata: {}, ...outputs[at], data: {...outputs[at]?.data, ...(view ? {[VIEW]: view} : {})}})));
    }

    async function toTop(panel) {
      const notebook = panel?.content;
      if (!notebook || notebook.isDisposed) return;
      notebook.deselectAll();
      notebook.activeCellIndex = 0;
      await notebook.scrollToItem?.(0, "start");
      (notebook.outerNode || notebook.node).scrollTop = 0;
    }

    function tell(panel, cells) {
      const named = cells.map(cell => `“${source(cell).trim().split("\n")[0].slice(0, 40)}”`);
      const list = named.slice(0, 3).join(", ") + (named.length > 3 ? ` and ${named.length - 3} more` : "");
      const line = new Widget();
      line.addClass("sp-left-alone");
      line.node.setAttribute("role", "note");
      line.node.style.cssText = "padding:4px 12px;min-height:26px;background:var(--jp-warn-color3);color:var(--jp-ui-font-color0);" +
        "white-space:nowrap;overflow:hidden;text-overflow:ellipsis";
      line.node.textContent = `Not run, because not as shipped: ${list}. Read them; then run them yourself.`;
      line.node.title = named.join("\n");
      panel.contentHeader.addWidget(line);
    }

    async function open(panel) {
      if (!panel || seen.has(panel)) return;
      seen.add(panel);
      await panel.context.ready;
      const known = await shipped;
      const code = panel.content.widgets.filter(cell => cell.model.type === "code" && source(cell).trim());
      const ours = code.filter(cell => known.has(sha256(source(cell)))), others = code.filter(cell => !ours.includes(cell));
      const run = ours.filter(cell => !(cell.model.getMetadata("tags") || []).includes(DERIVATION));
      if (!ours.length) { panel.node.dataset.springpass = "not ours"; return; }
      if (others.length) tell(panel, others);
      let moved = false;   // who has begun to read or to work is not thrown to the top
      for (const what of ["wheel", "pointerdown", "keydown"])
        panel.node.addEventListener(what, () => { moved = true; }, {once: true, capture: true});
      const text = () => JSON.stringify(panel.content.widgets.map(cell => [cell.model.type, source(cell)]));
      const document = panel.context.model, untouched = document.dirty ? null : text();
      // what is run here is no change of the reader's: nothing to be saved until they change something
      const clean = () => { if (document.dirty && text() === untouched) document.dirty = false; };
      document.stateChanged.connect(clean);
      const stored = views(run);
      for (const cell of ours) if (cell.model.sharedModel.getOutputs().some(output => output.data?.[VIEW]))
        cell.model.sharedModel.setOutputs(stills(cell.model.sharedModel.getOutputs()));
      await panel.sessionContext.ready;
      const kernel = panel.sessionContext.session?.kernel;
      if (!kernel) { document.stateChanged.disconnect(clean); return; }
      await kernel.info;
      const perhaps = [recalled(kernel.id, run), stored].filter(found => found?.flat().some(Boolean));
      const comms = perhaps.length ? await widgets(kernel) : {};
      const there = perhaps.find(found => found.flat().some(view => view?.model_id in comms));
      if (there) run.forEach((cell, at) => showAgain(cell, there[at]));
      else {
        await NotebookActions.runCells(panel.content, run, panel.sessionContext);
        remember(kernel.id, run);
      }
      for (const wait of [0, 400]) {   // once more when the pages have taken their room
        await new Promise(done => setTimeout(done, wait));
        if (!moved) await toTop(panel);
      }
      clean();
      document.stateChanged.disconnect(clean);
      panel.node.dataset.springpass = "open";
    }

    return {
      id: "springpass-lab:open-live",
      description: "Runs a notebook of the workbook when it is opened, and leaves it standing at its top.",
      autoStart: true,
      requires: [INotebookTracker],
      activate: (app, tracker) => {
        const look = () => open(tracker.currentWidget).catch(mishap => console.warn("springpass-lab", mishap));
        tracker.currentChanged.connect(look);
        app.restored.then(look);
        app.restored.then(() => {   // a phone's whole width is the notebook's
          if (window.innerWidth >= NARROW) return;
          app.shell.collapseLeft?.();
          app.shell.collapseRight?.();
          const bars = widget => widget.hasClass("jp-SideBar") ? [widget] : [...(widget.layout || [])].flatMap(bars);
          const hide = () => { for (const bar of bars(app.shell)) bar.hide(); };   // JupyterLab's own command would be kept
          hide();
          app.shell.layoutModified?.connect(hide);
        });
        app.commands.commandExecuted.connect((_, {id, result}) => {
          if (RUN_ALL.includes(id)) result.then(() => toTop(tracker.currentWidget), () => {});
        });
      },
    };
  }

  _JUPYTERLAB = typeof _JUPYTERLAB === "undefined" ? {} : _JUPYTERLAB;
  _JUPYTERLAB["springpass-lab"] = {
    init: scope => { shared = scope; },
    get: async () => {
      const made = plugin(await module("@jupyterlab/notebook"), await module("@lumino/widgets"));
      return () => ({default: made, __esModule: true});
    },
  };
})();

// The front end of the workbook: it draws the inputs, the picture and the words that Python sends, and sends back what
// the reader sets. It computes nothing of the trade.
//
// What stands behind it is a model with get(name), on("change:name", act) and send(message, undefined, buffers): a widget's
// in a notebook and on the phones' server, card.js's own on a pocket card.
//
// The model's parts:  kind    "page", or "ask" for predictions, exercises and the choice of units
//                     spec    what stays: title, controls, buttons (page); class (ask)
//                             (a table's columns are in its control, its lines and what is wrong in them in the answer)
//                     answer  what changes: picture, words, where each input stands, what is refused
//                     more    tables and formulas, asked for when the hand rests
//                     work    how far a long work is: {label, done, all}
// Sent by Python:     {done: a button}, {ready: {name, slid, head, words, picture}}: the answer one step further on
// Sent to Python:     {n, wishes: {name: {slid | typed | value | files}}}, {n, more: true}, {ahead: name, slid}, {press},
//                     {stop}, {block, …}

const REST = 250;          // ms without a move until tables and formulas are asked for: longer than a hand takes from key to key
const AHEAD = 30;          // ms without a move until the answer one step further on is worked out and sent here
const QUICK = 120;         // ms that an answer may have taken for that: a busy machine does nothing ahead
const ROAD = 2;            // answers under way at a time: one is drawn while the next is worked out
const PATIENCE = 400;      // ms until a bar says that something is being worked out
const TYPING = 300;        // ms without a key until what stands in a table is asked for
const TWICE = 700;         // ms in which a second press of a button is the same press
const GROUPS = {work: "work", tool: "tool", holder: "holder", cut: "cut", view: "view"};
const MEGA = 1e6;

let count = 0;
const fresh = () => `sp-${(count += 1)}-${Math.random().toString(36).slice(2, 7)}`;

/** make("p", {class: "x"}, "text", element): an element with its attributes and what stands in it */
function make(tag, attributes = {}, ...inside) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === false || value === null || value === undefined) continue;
    element.setAttribute(name, value === true ? "" : value);
  }
  element.append(...inside);
  return element;
}
const heading = (level, text, name) => make("div", {role: "heading", "aria-level": level, class: name}, text);
const complaint = text => make("div", {class: "sp-wrong", role: "alert"}, text);
const region = name => make("div", {class: name, role: "status", "aria-live": "polite"});
const own = {"data-lm-suppress-shortcuts": "true"};   // JupyterLab leaves these keys to the element

/** a number to five figures, as Python writes it */
const plain = value => String(+value.toPrecision(5));

/** a button that counts two presses in quick succession as one */
function button(label, says, act) {
  const element = make("button", {type: "button", class: "sp-button", title: says || null, ...own}, label);
  element.addEventListener("click", event => {   // detail 2: the second of a double click, however late a busy browser is
    if (event.detail > 1 || element.getAttribute("aria-disabled") === "true") return;
    element.setAttribute("aria-disabled", "true");
    setTimeout(() => { if (!element.dataset.working) element.removeAttribute("aria-disabled"); }, TWICE);
    act(element);
  });
  return element;
}

// ---- one input ------------------------------------------------------------------------------------------------------

/** A row with its label; `wish(name, what)` is called when the reader sets it. */
function control(what, wish) {
  const id = fresh(), row = make("div", {class: `sp-row sp-${what.kind}`, title: what.says || null});
  const note = make("div", {class: "sp-note", id: `${id}-note`});
  const label = make("label", {for: id, id: `${id}-label`});
  const put = {row, what, touched: false, asked: 0};   // asked: the newest message that sets it
  const name = () => { label.textContent = what.unit && what.unit !== "1" ? `${what.label}, ${what.unit}` : what.label; };
  name();
  put.rename = now => { Object.assign(what, now); name(); };
  let box = null, slider = null;

  if (what.kind === "slide") {
    const stops = what.stops;   // a card's few places, at which alone it has answers: nothing can be typed there
    box = stops ? make("output", {class: "sp-box", "aria-hidden": "true"})
                : make("input", {type: "text", inputmode: what.letters ? "text" : "decimal", autocomplete: "off", id, class: "sp-box"});
    slider = make("input", {type: "range", id: stops ? id : null, "aria-labelledby": `${id}-label`, ...own});
    const bend = value => what.log ? Math.log10(value) : value;
    slider.min = stops ? 0 : bend(what.low);
    slider.max = stops ? stops.length - 1 : bend(what.high);
    slider.step = stops ? 1 : what.log ? 0.02 : what.step;
    put.low = +slider.min, put.high = +slider.max, put.step = +slider.step;
    put.place = () => +slider.value;
    put.value = () => stops ? stops[+slider.value] : what.log ? 10 ** +slider.value : +slider.value;
    put.text = () => box.value;
    /** move to a value, as a drag in the picture does: held to the slider's own steps and ends */
    put.move = value => {
      const at = stops ? stops.reduce((best, stop, i) => Math.abs(stop - value) < Math.abs(stops[best] - value) ? i : best, 0)
                       : bend(Math.max(value, what.log ? what.low : -Infinity));
      put.go(at);
    };
    put.go = at => {
      const before = slider.value;
      slider.value = at;
      if (slider.value !== before) slid();
    };
    let last = null, towards = 0;
    /** the value one step further in the direction of the last move */
    put.next = () => {
      const probe = slider.cloneNode();
      probe.value = +slider.value + towards * put.step;
      return probe.value === slider.value ? null : what.log ? 10 ** +probe.value : +probe.value;
    };
    const say = text => { box.value = text; slider.setAttribute("aria-valuetext", text); };
    const slid = () => {   // the number moves with the handle, before Python has answered
      put.touched = false;
      towards = last === null ? 1 : Math.sign(+slider.value - last);
      last = +slider.value;
      say(stops ? what.texts[+slider.value] : plain(put.value() * (what.rate || 1)));
      wish(what.name, {slid: stops ? +slider.value : put.value()});
    };
    slider.addEventListener("input", slid);
    put.show = at => {
      if (!put.touched && !at.note) say(at.text);
      if ("high" in at) slider.max = put.high = bend(at.high);   // ends where the answer says
      slider.value = stops ? at.place : bend(at.place);
      last = +slider.value;
      slider.setAttribute("aria-valuetext", box.value);
    };
    row.append(label, box, slider);
  } else if (what.kind === "choose") {
    box = make("select", {id, ...own}, ...what.options.map(option => make("option", {}, option)));
    const chosen = () => wish(what.name, what.stops ? {slid: box.selectedIndex} : {value: box.value});
    box.addEventListener("change", chosen);
    put.low = 0, put.high = what.options.length - 1;
    put.place = () => box.selectedIndex;
    put.value = put.text = () => box.value;
    put.move = option => { if (box.value !== option) { box.value = option; chosen(); } };
    put.show = at => { if (what.stops) box.selectedIndex = at.place; else box.value = at.text; };
    row.append(label, box);
  } else if (what.kind === "tick") {
    box = make("input", {type: "checkbox", id, ...own});
    box.addEventListener("change", () => wish(what.name, {value: box.checked}));
    put.show = at => { box.checked = at.text; };
    row.append(box, label);
  } else if (what.kind === "load") {
    box = make("input", {type: "file", id, accept: what.accept, multiple: what.several, class: "sp-file", ...own});
    const loaded = make("span", {class: "sp-loaded", role: "status"});
    const opener = button(what.label, what.says, () => box.click());
    box.tabIndex = -1;
    box.setAttribute("aria-hidden", "true");
    box.addEventListener("change", async () => {
      const files = [...box.files];
      if (!files.length) return;
      box.value = "";   // the same file may be chosen again
      const size = files.reduce((sum, file) => sum + file.size, 0), names = files.map(file => file.name).join(", ");
      if (size > what.largest) {
        put.refuse(`${names} has ${(size / MEGA).toFixed(1)} MB. At most ${what.largest / MEGA} MB can be loaded: ` +
                   "record for a shorter time, or save it at a lower rate.");
        return;
      }
      const buffers = await Promise.all(files.map(file => file.arrayBuffer()));
      loaded.textContent = `${names}, ${length(size, buffers)}`;
      wish(what.name, {files: files.length}, buffers);
    });
    put.show = at => { if (!at.text) loaded.textContent = ""; };
    row.append(opener, loaded, box);
  } else if (what.kind === "table") {
    box = lines(what, wish, label, put);
    row.append(label, box);
  } else {
    box = what.rows > 1 ? make("textarea", {id, rows: what.rows}) : make("input", {type: "text", id, class: "sp-wide"});
    put.show = at => { if (!put.touched && !at.note && document.activeElement !== box) box.value = at.text; };
    row.append(label, box);
  }
  if (what.kind === "slide" && !what.stops || what.kind === "write") {
    const typed = () => { if (put.touched) { put.touched = false; wish(what.name, {typed: box.value}); } };
    box.addEventListener("input", () => { put.touched = true; });
    box.addEventListener("change", typed);
    if (box.tagName === "INPUT") box.addEventListener("keydown", event => {
      if (event.key === "Enter") { put.touched = true; typed(); }
    });
  }
  /** say beside the input why it is refused; an empty text takes it back */
  put.refuse = text => {
    if (note.textContent === text) return;
    note.replaceChildren(...(text ? [complaint(text)] : []));
    if (text) { box.setAttribute("aria-invalid", "true"); box.setAttribute("aria-describedby", note.id); }
    else { box.removeAttribute("aria-invalid"); box.removeAttribute("aria-describedby"); }
  };
  row.append(note);
  return put;
}

/** how long a file is: its size, and a WAV recording's seconds from its header */
function length(size, [first]) {
  const head = new DataView(first), tag = size > 44 ? new TextDecoder("latin1").decode(first.slice(0, 4)) : "";
  const seconds = tag === "RIFF" ? (size - 44) / head.getUint32(28, true) : 0;
  const bytes = size < MEGA / 10 ? `${(size / 1000).toFixed(1)} kB` : `${(size / MEGA).toFixed(1)} MB`;
  return seconds > 0 && isFinite(seconds) ? `${bytes}, ${plain(+seconds.toFixed(2))} s` : bytes;
}

/** A table that the reader fills in, a line of labelled cells each; it grows by a line as the last one is begun. */
function lines(what, wish, label, put) {
  const group = make("div", {class: "sp-lines", role: "group", "aria-labelledby": label.id});
  group.style.setProperty("--wide", what.columns.map(column => `minmax(0,${column.wide}fr)`).join(" "));
  group.append(make("div", {class: "sp-line sp-heads", "aria-hidden": "true"},
                    ...what.columns.map(column => make("span", {title: column.says || null}, column.label)), make("span")));
  let made = [], sent = null, timer = 0, marked = {};
  const empty = line => line.cells.every(cell => !cell.value.trim());
  const tell = () => {
    clearTimeout(timer);
    const rows = made.filter(line => !empty(line)).map(line => line.cells.map(cell => cell.value)), text = JSON.stringify(rows);
    if (text !== sent) { sent = text; wish(what.name, {value: rows}); }
  };
  function add(texts = []) {
    const note = make("div", {class: "sp-note", id: fresh()}), element = make("div", {class: "sp-line", role: "group"});
    const line = {element, note};
    line.cells = what.columns.map((column, i) => {
      const id = fresh(), cell = column.options.length
        ? make("select", {id, ...own}, ...["", ...column.options].map(option => make("option", {}, option)))
        : make("input", {type: "text", id, autocomplete: "off"});
      cell.value = texts[i] || "";
      cell.title = column.says || "";
      cell.addEventListener("input", () => {
        if (line === made.at(-1) && !empty(line) && made.length < what.most) number(add());
        clearTimeout(timer);
        timer = setTimeout(tell, TYPING);
      });
      cell.addEventListener("change", tell);
      cell.addEventListener("keydown", event => {
        if (event.key !== "Enter" || cell.tagName === "SELECT") return;
        event.preventDefault();
        tell();
        const below = made[made.indexOf(line) + 1];
        if (below) below.cells[0].focus();
      });
      element.append(make("div", {class: "sp-cell"}, make("label", {for: id}, column.label), cell));
      return cell;
    });
    line.remove = button("✕", "", () => {
      const at = made.indexOf(line);
      made.splice(at, 1);
      element.remove();
      if (!made.length || !empty(made.at(-1))) add();
      number();
      made[Math.min(at, made.length - 1)].cells[0].focus();
      tell();
    });
    line.remove.classList.add("sp-remove");
    element.append(line.remove, note);
    element.addEventListener("focusout", () => setTimeout(mark));
    made.push(line);
    group.append(element);
    return line;
  }
  /** names of the lines, by their place */
  function number() {
    made.forEach((line, i) => {
      line.element.setAttribute("aria-label", `${what.line} ${i + 1}`);
      line.remove.setAttribute("aria-label", `remove ${what.line} ${i + 1}`);
      line.remove.hidden = i === made.length - 1 && empty(line);
    });
  }
  /** say what is wrong under its line; of a line that is being typed, what is still empty is not yet wrong */
  function mark() {
    let at = 0;
    for (const line of made) {
      const busy = line.element.contains(document.activeElement), wrong = [];
      line.cells.forEach((cell, i) => {
        const text = empty(line) ? "" : marked[`${at}.${what.columns[i].name}`] || "";
        const bad = text && !(busy && !cell.value.trim());
        if (bad) { wrong.push(text); cell.setAttribute("aria-invalid", "true"); cell.setAttribute("aria-describedby", line.note.id); }
        else { cell.removeAttribute("aria-invalid"); cell.removeAttribute("aria-describedby"); }
      });
      if (String(wrong) !== line.wrong) {
        line.wrong = String(wrong);
        line.note.replaceChildren(...wrong.map(text => make("div", {class: "sp-wrong"}, text)));
      }
      if (!empty(line)) at += 1;
    }
  }
  put.show = now => {
    const text = JSON.stringify(now.rows);
    if (text !== sent) {
      for (const line of made) line.element.remove();
      made = [];
      for (const texts of now.rows) add(texts);
      if (made.length < what.most) add();
      number();
      sent = text;
    }
    marked = now.cells;
    mark();
  };
  return group;
}

// ---- handles in the picture -----------------------------------------------------------------------------------------

const nearest = (stops, at) => Object.keys(stops).reduce((a, b) => Math.abs(stops[b] - at) < Math.abs(stops[a] - at) ? b : a);
const KEYS = {ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 10, PageDown: -10};

/** Over the picture: one grip for each handle that the drawing names. They stay while the picture is replaced. */
function grips(picture, controls) {
  const layer = make("div", {class: "sp-grips"}), made = {};
  picture.append(layer);

  function grip(put, axis) {
    const across = axis === "x";
    const element = make("div", {class: `sp-grip sp-grip-${axis}`, role: "slider", tabindex: 0, ...own,
                                 "aria-orientation": across ? "horizontal" : "vertical"}, make("span", {}, across ? "↔" : "↕"));
    let from = null;
    element.addEventListener("pointerdown", event => {
      event.preventDefault();
      element.focus({preventScroll: true});
      element.setPointerCapture(event.pointerId);
      from = {at: across ? event.clientX : event.clientY, value: put.value(), per: element.per, stops: element.stops,
              size: layer.getBoundingClientRect()};
      element.classList.add("sp-held");
    });
    element.addEventListener("pointermove", event => {
      if (!from) return;
      const at = across ? event.clientX : event.clientY, size = from.size;
      const by = (at - from.at) * element.wide / size.width;   // in the drawing's own pixels
      if (across) element.style.left = `${100 * (at - size.x) / size.width}%`;   // it stays under the finger
      else element.style.top = `${100 * (at - size.y) / size.height}%`;
      put.move(from.stops ? nearest(from.stops, from.stops[from.value] + by)
               : element.ratio ? from.value * Math.exp(by * from.per) : from.value + by * from.per);
    });
    for (const end of ["pointerup", "pointercancel"]) element.addEventListener(end, () => {
      from = null;
      element.classList.remove("sp-held");
      element.home();
    });
    element.addEventListener("keydown", event => {
      if (element.stops && event.key in KEYS) {
        event.preventDefault();
        event.stopPropagation();
        const order = Object.keys(element.stops).sort((a, b) => (element.stops[a] - element.stops[b]) * (across ? 1 : -1));
        put.move(order[order.indexOf(put.value()) + Math.sign(KEYS[event.key])] || put.value());
        return;
      }
      const to = event.key === "Home" ? put.low : event.key === "End" ? put.high
               : event.key in KEYS ? put.place() + KEYS[event.key] * put.step : null;
      if (to === null) return;
      event.preventDefault();
      event.stopPropagation();
      put.go(to);
    });
    return element;
  }

  return svg => {
    const seen = new Set(), box = svg && svg.viewBox.baseVal;
    for (const mark of svg ? svg.querySelectorAll("[data-handle]") : []) {
      const name = mark.dataset.handle, put = controls[name];
      if (!put || !put.move || seen.has(name)) continue;
      seen.add(name);
      const element = made[name] ||= layer.appendChild(grip(put, mark.dataset.axis));
      element.per = +mark.dataset.per;
      element.ratio = "ratio" in mark.dataset;
      element.stops = mark.dataset.stops && JSON.parse(mark.dataset.stops);
      element.wide = box.width;
      let x = mark.cx.baseVal.value, y = mark.cy.baseVal.value;   // reckoned, not looked up: that would lay out the document
      for (let inset = mark.parentNode; inset !== svg; inset = inset.parentNode) {
        if (inset.x) { x += inset.x.baseVal.value; y += inset.y.baseVal.value; }
      }
      element.home = () => {
        element.style.left = `${100 * x / box.width}%`;
        element.style.top = `${100 * y / box.height}%`;
      };
      if (!element.classList.contains("sp-held")) element.home();
      if (!element.title) element.title = `Drag to set: ${put.what.label}`;
      for (const [what, value] of [["label", `${put.what.label}, in the picture`], ["valuemin", put.low], ["valuemax", put.high],
                                   ["valuenow", put.place()], ["valuetext", put.text()]]) {
        if (element.getAttribute(`aria-${what}`) !== String(value)) element.setAttribute(`aria-${what}`, value);
      }
    }
    for (const name of Object.keys(made)) if (!seen.has(name)) { made[name].remove(); delete made[name]; }
    return seen.size;
  };
}

// ---- a page ---------------------------------------------------------------------------------------------------------

/** The projector's view: one page alone, large and in high contrast; n goes on to the next page that has been looked at,
    Escape comes back. The page itself is shown, no copy: its place in the notebook is kept for it. */
function large(root) {
  const seen = document.springPages ??= [], place = document.createComment("shown large");
  seen.push(root);
  root.springBack = () => { if (place.parentNode) place.replaceWith(root); };
  root.springShow = screen => { root.replaceWith(place); screen.replaceChildren(root); root.querySelector(".sp-large").focus(); };
  const element = button("large", "show this page alone and large; n: the next page, Esc: back", async () => {
    if (document.fullscreenElement) { document.exitFullscreen(); return; }
    const screen = make("div", {class: "sp-projector"});
    let now = root;
    document.body.append(screen);
    await screen.requestFullscreen();
    root.springShow(screen);
    screen.addEventListener("keydown", event => {
      const typing = event.target.matches("textarea,input:not([type=range],[type=checkbox])");
      if (event.key !== "n" || typing || event.ctrlKey || event.metaKey) return;
      event.preventDefault();
      now.springBack();
      const last = seen.indexOf(now), after = [...seen.slice(last + 1), ...seen.slice(0, last + 1)];
      now = after.find(one => one.springAlive);
      now.springShow(screen);
    });
    screen.addEventListener("fullscreenchange", () => { if (!document.fullscreenElement) { now.springBack(); screen.remove(); } });
  });
  element.classList.add("sp-large");
  root.springAlive = true;
  return element;
}

function page(model, el) {
  const spec = model.get("spec"), root = make("div", {class: "sp-page"});
  const guess = region("sp-guess"), told = make("div", {class: "sp-told-files"}), rows = make("div", {class: "sp-controls"});
  const words = region("sp-words"), drawn = make("div", {class: "sp-drawn"}), picture = make("div", {class: "sp-picture"}, drawn);
  const state = make("div", {class: "sp-state"}), busy = make("progress", {class: "sp-busy", "aria-label": "being worked out"});
  const hint = make("p", {class: "sp-hint"}), rest = make("div", {class: "sp-rest", "aria-hidden": "true"});
  guess.hidden = true;   // until there is a guess
  const top = make("div", {class: "sp-top"}, make("div", {class: "sp-words-box"}, state, words, guess), picture, hint, busy);
  const more = make("div", {class: "sp-more"}), output = make("div", {class: "sp-output"}, top, rest);
  busy.hidden = true;
  if (spec.title) root.append(heading(3, spec.title, "sp-title"));
  if (spec.title && document.fullscreenEnabled) root.append(large(root));
  root.append(told, make("div", {class: "sp-body"}, rows, output), more);
  el.append(root);

  // -- what the reader wishes: while answers are under way only the newest of each input is kept
  let n = 0, answered = 0, asked = 0, wishes = {}, buffers = [], resting = 0, ahead = 0, patience = 0, shown = {}, inSight = true;
  let moved = null, ready = null;
  const send = (message, data) => model.send(message, undefined, data);
  function wish(name, what, data = []) {
    wishes[name] = what;
    if (data.length) buffers = data;
    moved = "slid" in what && !controls[name].what.stops ? controls[name] : null;
    controls[name].seen = null;
    clearTimeout(resting);
    clearTimeout(ahead);
    const known = ready && n === answered && ready.name === name && ready.slid === what.slid ? ready : null;
    ready = null;
    if (n - answered < ROAD) ask();
    if (known) draw(known);   // the answer that comes back is the same
  }
  function ask() {   // all is in order before it is sent: a pocket card answers at once
    const message = {n: n += 1, wishes}, data = buffers;
    for (const name of Object.keys(wishes)) controls[name].asked = n;
    wishes = {}; buffers = [];
    asked = performance.now();
    clearTimeout(patience);
    patience = setTimeout(() => { busy.hidden = false; }, PATIENCE);
    send(message, data);
  }
  function handRests() {
    clearTimeout(ahead);
    clearTimeout(resting);
    if (moved && performance.now() - asked < QUICK) ahead = setTimeout(() => {
      const next = moved && moved.next();
      if (next !== null) send({ahead: moved.what.name, slid: next});
    }, AHEAD);
    resting = setTimeout(() => {
      if (inSight && n === answered && model.get("more").n !== shown.n) send({more: true, n: shown.n});
    }, REST);
  }

  // -- the inputs
  const controls = {}, rare = [];
  let group = "";
  for (const what of spec.controls) {
    if (what.group !== group) rows.append(heading(4, GROUPS[group = what.group], "sp-group"));
    const put = controls[what.name] = control({largest: spec.largest, ...what}, wish);
    if (what.rare) { put.row.hidden = true; rare.push(put.row); }
    rows.append(put.row);
  }
  if (rare.length) {
    const all = make("button", {type: "button", class: "sp-button sp-all", "aria-expanded": "false", ...own}, "all settings");
    all.addEventListener("click", () => {
      const open = all.getAttribute("aria-expanded") !== "true";
      all.setAttribute("aria-expanded", String(open));
      all.textContent = open ? "fewer settings" : "all settings";
      for (const row of rare) row.hidden = !open;
    });
    rows.append(all);
  }
  const presses = {};
  for (const press of spec.presses) {
    const note = region("sp-said"), bar = make("div", {class: "sp-work"});
    const element = button(press.label, press.says, () => {
      element.dataset.working = "yes";
      element.setAttribute("aria-disabled", "true");
      const started = performance.now();
      presses[press.label].done = () => setTimeout(() => {
        delete element.dataset.working;
        element.removeAttribute("aria-disabled");
        bar.replaceChildren();
      }, Math.max(0, started + TWICE - performance.now()));
      setTimeout(() => { if (element.dataset.working && !bar.firstChild) progress(bar, press); }, PATIENCE);
      send({press: press.label});
    });
    presses[press.label] = {note, bar, done: () => {}};
    rows.append(make("div", {class: "sp-row sp-press"}, element, bar, note));
  }
  function progress(bar, press) {
    bar.append(make("progress", {"aria-label": press.label}));
    if (press.long) bar.append(button("stop", "stop this work; nothing is saved", () => send({stop: true})));
  }
  function working() {
    const {label, done, all} = model.get("work"), press = presses[label];
    if (!press) return;
    if (!press.bar.firstChild) progress(press.bar, {label, long: true});
    const bar = press.bar.querySelector("progress");
    if (all) { bar.max = all; bar.value = done; }
  }

  // -- the answer
  const place = grips(picture, controls);
  function say(head, text) {
    const key = `${head}\n${text}`;
    if (say.last === key) return;
    say.last = key;
    const parts = text.split("\n").map(part => make("p", {}, part));
    // the first sentence stands by itself, so that a phone can keep it in sight with the picture
    const first = /^(.+?[.!?])\s+(?=[A-Z“Ø±])(.+)$/s.exec(parts[0].textContent);
    if (first) parts[0].replaceChildren(first[1], make("span", {class: "sp-after"}, ` ${first[2]}`));
    if (head) parts[0].prepend(make("b", {}, head), " ");
    for (const part of parts.slice(1)) part.classList.add("sp-after");
    words.replaceChildren(...parts);
    rest.replaceChildren(...(first ? [make("p", {}, first[2])] : []), ...parts.slice(1).map(part => make("p", {}, part.textContent)));
  }
  const put = (where, text) => { if (where.textContent !== text) where.textContent = text; };
  function grip() {
    const handles = place(drawn.querySelector("svg"));
    put(hint, handles ? "Drag a round grip in the picture, or move the sliders." : "");
  }
  function draw(answer) {
    if (answer.picture !== draw.last) {
      drawn.innerHTML = draw.last = answer.picture;
      const box = drawn.firstElementChild && drawn.firstElementChild.viewBox && drawn.firstElementChild.viewBox.baseVal;
      const shape = box ? (box.width / box.height).toFixed(3) : "";
      if (shape !== draw.shape) {
        picture.style.setProperty("--shape", draw.shape = shape);
        drawn.classList.toggle("sp-framed", Boolean(shape));
      }
    }
    grip();
    say(answer.head, answer.words);
  }
  function show() {
    const answer = shown = model.get("answer");
    ready = null;
    for (const [name, at] of Object.entries(answer.at)) {
      const put = controls[name], now = JSON.stringify(at);
      if (name in wishes || answer.n < put.asked || put.seen === now) continue;   // the hand is further than the answer
      put.seen = put.what.kind === "write" ? null : now;   // a text is not touched while one writes
      put.show(at);
      put.refuse(at.note || "");
    }
    draw(answer);
    root.classList.toggle("sp-stale", answer.state !== "good");
    if (show.guess !== answer.guess) {
      guess.innerHTML = show.guess = answer.guess || "";
      guess.hidden = !show.guess;
    }
    if (state.textContent !== answer.note) state.replaceChildren(...(answer.note ? [complaint(answer.note)] : []));
    if (told.textContent !== answer.told.join("")) told.replaceChildren(...answer.told.map(complaint));
    for (const [label, press] of Object.entries(presses)) {
      const said = answer.said[label] || "";
      if (press.said !== said) press.note.innerHTML = press.said = said;
    }
    answered = Math.max(answered, answer.n);
    if (answered === n) {
      clearTimeout(patience);
      busy.hidden = true;
    }
    if (Object.keys(wishes).length) ask(); else if (answered === n) handRests();
    tidy();
  }
  function showMore() {
    const {n: which, html} = model.get("more");
    if (more.last !== html) { more.innerHTML = more.last = html; heads(more); }
    more.setAttribute("aria-busy", String(which !== shown.n));
    tidy();
  }
  /** on a low screen only the first sentence stays with the picture */
  const tidy = later(() => {
    reachable(more);
    reachable(words);
    const wide = root.clientWidth;
    if (!wide || wide >= 700 && !root.classList.contains("sp-tight")) return;
    root.classList.remove("sp-tight");
    root.classList.toggle("sp-tight", wide < 700 && top.offsetHeight > 0.45 * window.innerHeight);
    root.style.setProperty("--tall", `${top.offsetHeight}px`);
  });

  model.on("change:answer", show);
  model.on("change:more", showMore);
  model.on("change:work", working);
  model.on("change:spec", () => { for (const what of model.get("spec").controls) controls[what.name].rename(what); });
  model.on("msg:custom", message => {
    if (message.done) presses[message.done].done();
    if (message.ready && n === answered && shown.state === "good") ready = message.ready;
  });
  const sizes = new ResizeObserver(tidy), sight = new IntersectionObserver(([entry]) => {
    inSight = entry.isIntersecting;
    if (inSight && n === answered) handRests();
  }, {rootMargin: "300px"});
  sizes.observe(root);
  sight.observe(more);
  show();
  showMore();
  return () => { root.springAlive = false; sizes.disconnect(); sight.disconnect(); clearTimeout(resting); clearTimeout(ahead); clearTimeout(patience); };
}

/** tables: a heading in a row with data is the row's, in a row of headings the column's */
function heads(root) {
  for (const row of root.querySelectorAll("tr")) {
    const scope = row.querySelector("td:not(:empty)") ? "row" : "col";
    for (const head of row.querySelectorAll("th:not([scope])")) head.scope = scope;
  }
}

/** what scrolls can be reached by keyboard */
function reachable(box) {
  const scrolls = box.scrollWidth > box.clientWidth + 1 || box.scrollHeight > box.clientHeight + 1;
  if (scrolls) box.setAttribute("tabindex", "0"); else box.removeAttribute("tabindex");
}

/** at most once a frame, after it is drawn */
function later(act) {
  let asked = false;
  return () => {
    if (asked) return;
    asked = true;
    requestAnimationFrame(() => setTimeout(() => { asked = false; act(); }));
  };
}

// ---- predictions, exercises, the choice of units ------------------------------------------------------------------------

/** Blocks, each with a question, fields, buttons and what is said of it; a block is built once and then kept up to date. */
function ask(model, el) {
  const root = make("div", {class: model.get("spec").class}), blocks = {};
  el.append(root);
  const send = message => model.send(message);

  function field(block, what) {
    const id = fresh(), label = make("label", {for: id, class: what.hide ? "sp-hidden" : null}, what.label);
    if (what.options) {
      const group = make("div", {role: "group", "aria-label": what.label, class: "sp-choice"});
      const shows = [];
      const show = now => {
        if (String(now.options) !== String(shows.options)) {
          shows.options = now.options;
          group.replaceChildren(...now.options.map(option => {
            const one = make("button", {type: "button", class: "sp-button", ...own}, option);
            one.addEventListener("click", () => send({block, field: what.id, typed: option}));
            return one;
          }));
        }
        for (const one of group.children) one.setAttribute("aria-pressed", String(one.textContent === now.value));
      };
      return {parts: what.hide ? [group] : [make("span", {"aria-hidden": "true"}, what.label), group], show};
    }
    const box = make("input", {type: "text", id, autocomplete: "off", placeholder: what.hint || null, class: what.class || null});
    const unit = make("span", {class: "sp-unit"});
    let last = null;
    const typed = again => { if (again || box.value !== last) { last = box.value; send({block, field: what.id, typed: box.value}); } };
    box.addEventListener("change", () => typed(false));
    box.addEventListener("keydown", event => { if (event.key === "Enter") typed(true); });
    const show = now => {
      if (now.value !== last) box.value = last = now.value;
      box.placeholder = now.hint || "";
      unit.textContent = now.unit || "";
    };
    return {parts: [label, box, unit], show};
  }
  function build(what) {
    const fields = what.fields.map(one => field(what.id, one));
    const buttons = what.buttons.map(one => button(one.label, one.says, () => {
      const box = fields.map(f => f.parts[1]).find(part => part instanceof HTMLInputElement);
      send({block: what.id, button: one.id, typed: box ? box.value : ""});
    }));
    const asks = make("div", {class: "sp-asks"}), says = region("sp-live"), after = make("div");
    const go = make("div", {class: "sp-go"}, ...fields.flatMap(one => one.parts), ...buttons);
    const element = make("div", {class: what.class || null}, asks, go, says, after);
    const shown = {};
    const html = (where, name, text) => { if (shown[name] !== text) { where.innerHTML = shown[name] = text; heads(where); } };
    return {element, show(now) {
      html(asks, "asks", now.asks); html(says, "says", now.says); html(after, "after", now.after);
      fields.forEach((one, i) => one.show(now.fields[i]));
      buttons.forEach((one, i) => { one.textContent = now.buttons[i].label; one.hidden = Boolean(now.buttons[i].hide); });
    }};
  }
  function show() {
    for (const what of model.get("answer").blocks) {
      if (!blocks[what.id]) root.append((blocks[what.id] = build(what)).element);
      blocks[what.id].show(what);
    }
  }
  const tidy = later(() => root.querySelectorAll(".sp-solution").forEach(reachable)), sizes = new ResizeObserver(tidy);
  sizes.observe(root);
  model.on("change:answer", () => { show(); tidy(); });
  show();
  return () => sizes.disconnect();
}

const front = {render: ({model, el}) => (model.get("kind") === "page" ? page : ask)(model, el)};
export default front;


// ---- a pocket card: what follows stands below page.js, in the same script ---------------------------------------------
// The answers are packed in the file. A card is page.js's model: it unpacks them and hands over the one that is asked for.

async function unpacked(text) {   // the stream knows by its own checksum whether the block is whole
  const packed = Uint8Array.from(atob(text.replace(/\s/g, "")), letter => letter.charCodeAt(0));
  const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream("deflate"));
  return JSON.parse(await new Response(stream).text());
}

/** what page.js asks of a model: get, on, send; an answer is there as soon as it is asked for */
function packedModel({pieces, texts, cells, marks, refused, spec, start}) {
  const places = [...start], sizes = spec.controls.map(dial => dial.texts.length), hears = {};
  const text = number => texts[number].map(piece => pieces[piece]).join("");
  const row = at => at.reduce((sum, place, i) => sum * sizes[i] + place, 0) * 5;
  const mark = at => marks[cells[row(at) + 4]];
  let good = {picture: "", head: "", words: ""};
  const shown = {kind: "page", spec, work: {}, more: {n: -1, html: ""}};
  const put = (name, value) => { shown[name] = value; for (const act of hears[`change:${name}`] || []) act(); };
  function answer(n) {
    const [picture, head, words] = cells.slice(row(places), row(places) + 3).map(text);
    const state = mark(places) === refused ? "refused" : "good";
    if (state === "good") good = {picture, head, words};
    const note = state === "good" ? "" : good.picture ? `${words} ${spec.last}` : words;
    put("answer", {n, state, note, ...good, told: [], said: {},
                   at: Object.fromEntries(spec.controls.map((dial, i) => [dial.name, {place: places[i], text: dial.texts[places[i]]}]))});
  }
  answer(0);
  return {
    places, mark,
    get: name => shown[name],
    on: (event, act) => (hears[event] ||= []).push(act),
    send({n, wishes, more}) {
      if (more) { put("more", {n, html: text(cells[row(places) + 3])}); return; }
      spec.controls.forEach((dial, i) => { if (dial.name in wishes) places[i] = wishes[dial.name].slid; });
      answer(n);
    },
  };
}

/** the table of shapes for the noticeboard: over the first two inputs, at the third one's place */
function glance(model, table) {
  const cells = [...table.querySelectorAll("td")], at = document.getElementById("glance-at"), third = model.get("spec").controls[2];
  const show = () => {
    const [down, across, ...rest] = model.places, columns = table.tHead.rows[0].cells.length - 1;
    cells.forEach((cell, i) => {
      cell.textContent = model.mark([Math.floor(i / columns), i % columns, ...rest]);
      cell.className = i === down * columns + across ? "here" : "";
    });
    if (at) at.textContent = third.texts[rest[0]];
  };
  model.on("change:answer", show);
  show();
}

async function openCard() {
  const byId = id => document.getElementById(id), still = byId("still");
  let data;
  try {
    data = await unpacked(byId("answers").textContent);
  } catch {
    byId("unscripted").replaceWith(complaint(byId("damaged").content.textContent));
    return "no";
  }
  const model = packedModel(data);
  front.render({model, el: still});
  for (const part of [...still.children].slice(0, -1)) part.remove();
  if (byId("glance")) glance(model, byId("glance"));
  return "yes";
}
openCard().then(ready => document.documentElement.setAttribute("data-ready", ready));

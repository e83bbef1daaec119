"""The paper of a pocket card: its styles and its script, as text. It knows no page and no numbers.

Nothing is fetched. The answers lie in the file as one block (zlib, RFC 1950), which the browser's own
DecompressionStream unpacks; browsers from before 2023 have none, and are told so. A viewer that runs no script shows the opening values,
which stand in the page as plain HTML.
"""

from __future__ import annotations

STYLE = """
:root{color-scheme:light dark;--jp-ui-font-color0:#161616;--jp-ui-font-color1:#444;--jp-layout-color0:#fff;--jp-layout-color1:#fff;
 --jp-border-color1:#bbb;--jp-border-color2:#ccc;--ground:#f3f2ee;--wrong:#ffe9c7;--here:#dcebf8}
@media screen and (prefers-color-scheme:dark){:root{--jp-ui-font-color0:#f0f0f0;--jp-ui-font-color1:#c4c4c4;--jp-layout-color0:#1b1d20;
 --jp-layout-color1:#24272b;--jp-border-color1:#5b5f66;--jp-border-color2:#4a4d53;--ground:#121315;--wrong:#4a3312;--here:#1d3a55}}
*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%;text-size-adjust:100%}
body{margin:0;background:var(--ground);color:var(--jp-ui-font-color0);
 font:16px/1.42 system-ui,-apple-system,"Segoe UI",Roboto,sans-serif}
main{max-width:600px;margin:0 auto;padding:10px 12px 24px}
h1{font-size:20px;line-height:1.25;margin:2px 0 8px}
#words{border:1px solid var(--jp-border-color1);border-radius:6px;background:var(--jp-layout-color1);padding:8px 12px;min-height:74px}
#words p{margin:3px 0}#words b{font-size:19px}
#words.wrong{background:var(--wrong);border-left:5px solid #c26a16}
#picture{margin:8px 0;background:var(--jp-layout-color0);border-radius:6px;overflow:hidden}
#picture svg{display:block;width:100%;height:auto}
#picture.none{min-height:120px;background:none;border:1px dashed var(--jp-border-color1)}
@media screen and (max-width:760px){#words{font-size:15px;line-height:1.35;padding:6px 10px}#words b{font-size:18px}h1{margin:0 0 6px}}
#dials{background:var(--ground);padding:4px 0 6px;border-top:1px solid var(--jp-border-color1)}
@media screen and (min-height:640px){#dials.low{position:sticky;bottom:0;z-index:2}}
.dial{display:grid;grid-template-columns:1fr auto;align-items:baseline;gap:0 10px;padding:4px 0 0}
.dial label{font-size:15.5px;line-height:1.2}.dial select{margin:2px 0 4px}
.dial .value{font-weight:650;font-size:18px;white-space:nowrap;font-variant-numeric:tabular-nums}
.dial input,.dial select{grid-column:1/3;width:100%}
.dial select{height:44px;font-size:16px;background:var(--jp-layout-color1);color:inherit;border:1px solid var(--jp-border-color1);border-radius:6px;padding:0 8px}
.dial input{-webkit-appearance:none;appearance:none;height:44px;margin:-5px 0 -3px;background:transparent;touch-action:pan-y;cursor:pointer}
.dial input::-webkit-slider-runnable-track{height:8px;border-radius:4px;background:var(--jp-border-color1)}
.dial input::-moz-range-track{height:8px;border-radius:4px;background:var(--jp-border-color1)}
.dial input::-webkit-slider-thumb{-webkit-appearance:none;width:34px;height:34px;margin-top:-13px;border-radius:50%;background:#2b7fc4;border:3px solid var(--jp-layout-color0);box-shadow:0 0 0 1px var(--jp-ui-font-color1)}
.dial input::-moz-range-thumb{width:28px;height:28px;border-radius:50%;background:#2b7fc4;border:3px solid var(--jp-layout-color0);box-shadow:0 0 0 1px var(--jp-ui-font-color1)}
.dial input:focus-visible,.dial select:focus-visible,summary:focus-visible{outline:3px solid #2b7fc4;outline-offset:1px;border-radius:6px}
.small{font-size:14px;color:var(--jp-ui-font-color1)}
section{margin-top:12px}section h2{font-size:16px;margin:0 0 3px}section p{margin:3px 0}
.box{overflow-x:auto;max-width:100%}
#glance td,#glance th{text-align:center;padding:2px 4px;font-size:14px;min-width:25px;font-variant-numeric:tabular-nums;border:1px solid var(--jp-border-color2)}
#glance{border-collapse:collapse;margin:4px 0}#glance th{font-weight:600;font-size:13px}
#glance td.here{background:var(--here);outline:2.5px solid var(--jp-ui-font-color0);outline-offset:-2px}
#more{font-size:14px;line-height:1.4;overflow-x:auto}#more table{border-collapse:collapse;margin:4px 0}
#more th,#more td{padding:2px 8px 2px 0;text-align:left;vertical-align:top;border-bottom:1px solid var(--jp-border-color2)}
#more math{font-size:16px;margin:4px 0}
summary{min-height:44px;display:flex;align-items:center;font-weight:600;cursor:pointer}
summary::before{content:"▸";width:1.2em}details[open]>summary::before{content:"▾"}
summary::-webkit-details-marker{display:none}
.care{border:1.5px solid var(--jp-ui-font-color0);border-radius:6px;padding:6px 10px;margin-top:12px}
.print.print{display:none}
@media screen and (min-width:900px){main{max-width:1000px;display:grid;grid-template-columns:580px 1fr;gap:0 26px}main>*{grid-column:1/-1}
 #picture{grid-column:1}#dials{grid-column:2;align-self:start;border:0;margin-top:4px}#dials.low{top:8px;bottom:auto}}
@page{margin:11mm 13mm}
@media print{body{background:#fff;font-size:10.5pt;line-height:1.3}h1{font-size:19pt}
 main{max-width:none;padding:0;display:grid;grid-template-columns:1fr;gap:0 6mm}main.both{grid-template-columns:98mm 1fr}main>*{grid-column:1/-1}
 #words{min-height:0;font-size:11.5pt;order:-3}h1{order:-4}#words b{font-size:15pt}
 #dials{position:static!important;order:-2;background:none;display:flex;flex-wrap:wrap;gap:0 9mm;border:0;padding:2mm 0 0}.dial{display:block;padding:0}
 .dial input,.dial select{display:none}.dial .value{font-size:13pt}
 #picture{max-width:104mm;width:100%;margin:1mm auto;order:-1;break-inside:avoid}#picture.none{min-height:0;border:0}
 .both #picture{grid-column:1;margin:1mm 0}.both #all{grid-column:2;order:-1;margin-top:1mm}
 #glance td,#glance th{padding:0 .4mm;min-width:5mm;font-size:8pt;line-height:1.45}.box{overflow:visible}
 .small{font-size:9pt}section{margin-top:2mm}.care{margin-top:2mm;break-inside:avoid}section h2{font-size:11pt;break-after:avoid}
 .print.print{display:inline}details:not([open]){display:none}}
"""

SCRIPT = r"""
(async () => {
"use strict";
const byId = id => document.getElementById(id);
const words = byId("words"), picture = byId("picture"), more = byId("more"), store = byId("answers");
const dials = [...document.querySelectorAll(".dial input, .dial select")], shown = {};
const glance = byId("glance") && [...document.querySelectorAll("#glance td")];
let data = null;

async function unpacked(text) {   /* the stream knows by its own checksum whether the block is whole */
  const packed = Uint8Array.from(atob(text.replace(/\s/g, "")), letter => letter.charCodeAt(0));
  const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream("deflate"));
  return JSON.parse(await new Response(stream).text());
}
const whole = row => row.map(piece => data.pieces[piece]).join("");
function put(where, name, number) {   /* only what changed, so that a screen reader says nothing twice */
  if (!where || shown[name] === number) return;
  shown[name] = number;
  where.innerHTML = whole(data.texts[number]);
}
const place = dial => dial.tagName === "SELECT" ? dial.selectedIndex : Math.round(Number(dial.value));

function show() {
  const here = dials.map(place);
  let k = 0;
  dials.forEach((dial, i) => {
    const text = data.steps[i][here[i]], said = byId(`${dial.id}-value`);
    k = k * data.steps[i].length + here[i];
    if (said) { said.textContent = text; dial.setAttribute("aria-valuetext", text); }
  });
  const cell = data.cells.slice(4 * k, 4 * k + 4);
  words.className = cell[3] === 4 ? "wrong" : "";
  picture.className = cell[3] === 4 ? "none" : "";
  put(picture, "picture", cell[0]);
  put(words, "words", cell[1]);
  put(more, "more", cell[2]);
  if (!glance) return;
  const behind = data.steps.slice(2).reduce((product, steps) => product * steps.length, 1);
  const rows = data.steps[0].length, columns = data.steps[1].length, at = here[0] * columns + here[1];
  k -= at * behind;   /* what is left is the third input's place */
  for (let i = 0; i < rows * columns; i++) {
    glance[i].textContent = data.marks[data.cells[4 * (i * behind + k) + 3]];
    glance[i].className = i === at ? "here" : "";
  }
  if (byId("glance-at")) byId("glance-at").textContent = data.steps[2][here[2]];
}

byId("unscripted")?.remove();
if (!dials.length) return;
try {
  data = await unpacked(store.textContent);
} catch {
  words.className = "wrong";
  words.innerHTML = `<p>${byId("damaged").innerHTML}</p>`;
  for (const dial of dials) dial.disabled = true;
  document.documentElement.setAttribute("data-ready", "no");
  return;
}
for (const dial of dials) for (const set of ["input", "change"]) dial.addEventListener(set, show);
window.addEventListener("pageshow", show);
show();
document.documentElement.setAttribute("data-ready", "yes");
})();
"""

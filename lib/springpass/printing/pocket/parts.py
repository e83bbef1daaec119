"""The paper of a pocket card: its styles and its script, as text. It knows no page and no numbers.

The script is written for old phones too: no module, no promise, nothing fetched. The answers lie in the file as one
deflated block (RFC 1951), unpacked here by `inflate` itself, because browsers from before 2023 have no unpacker of
their own to lend. A viewer that runs no script shows the opening values, which stand in the page as plain HTML.
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
(function () {
"use strict";
var LENGTH = [3,4,5,6,7,8,9,10,11,13,15,17,19,23,27,31,35,43,51,59,67,83,99,115,131,163,195,227,258];
var LENGTH_MORE = [0,0,0,0,0,0,0,0,1,1,1,1,2,2,2,2,3,3,3,3,4,4,4,4,5,5,5,5,0];
var BACK = [1,2,3,4,5,7,9,13,17,25,33,49,65,97,129,193,257,385,513,769,1025,1537,2049,3073,4097,6145,8193,12289,16385,24577];
var BACK_MORE = [0,0,0,0,1,1,2,2,3,3,4,4,5,5,6,6,7,7,8,8,9,9,10,10,11,11,12,12,13,13];
var ORDER = [16,17,18,0,8,7,9,6,10,5,11,4,12,3,13,2,14,1,15];

/* a table of code lengths -> how many codes of each length, and the symbols in order of their codes */
function codes(lengths) {
  var count = new Uint16Array(16), next = new Uint16Array(17), symbol = new Uint16Array(lengths.length), i;
  for (i = 0; i < lengths.length; i++) count[lengths[i]]++;
  count[0] = 0;
  for (i = 1; i < 16; i++) next[i + 1] = next[i] + count[i];
  for (i = 0; i < lengths.length; i++) if (lengths[i]) symbol[next[lengths[i]]++] = i;
  return {count: count, symbol: symbol};
}

/* RFC 1951: the packed bytes -> so many bytes; throws where they are damaged */
function inflate(packed, size) {
  var out = new Uint8Array(size), at = 0, bit = 0, end = packed.length * 8, last, kind, i, n, s, back, lit, dist;
  function bits(n) {
    var v = 0, i;
    if (bit + n > end) throw new Error("cut short");
    for (i = 0; i < n; i++, bit++) v |= ((packed[bit >> 3] >> (bit & 7)) & 1) << i;
    return v;
  }
  function read(table) {
    var code = 0, first = 0, index = 0, length, c;
    for (length = 1; length < 16; length++) {
      code |= bits(1);
      c = table.count[length];
      if (code - c < first) return table.symbol[index + code - first];
      index += c; first = (first + c) << 1; code <<= 1;
    }
    throw new Error("no such code");
  }
  function tables() {
    var lits = bits(5) + 257, dists = bits(5) + 1, lengths = new Uint8Array(19), all = new Uint8Array(lits + dists), order, i, n, s, before;
    n = bits(4) + 4;
    for (i = 0; i < n; i++) lengths[ORDER[i]] = bits(3);
    order = codes(lengths);
    for (i = 0; i < lits + dists;) {
      s = read(order);
      if (s < 16) { all[i++] = s; continue; }
      before = s === 16 ? all[i - 1] : 0;
      n = s === 16 ? 3 + bits(2) : s === 17 ? 3 + bits(3) : 11 + bits(7);
      while (n--) all[i++] = before;
    }
    lit = codes(all.subarray(0, lits)); dist = codes(all.subarray(lits));
  }
  do {
    last = bits(1); kind = bits(2);
    if (kind === 0) {
      bit = (bit + 7) & ~7; n = bits(16); bits(16);
      while (n--) out[at++] = bits(8);
      continue;
    }
    if (kind === 3) throw new Error("no such block");
    if (kind === 2) tables();
    else {
      s = new Uint8Array(288);
      for (i = 0; i < 288; i++) s[i] = i < 144 ? 8 : i < 256 ? 9 : i < 280 ? 7 : 8;
      lit = codes(s); s = new Uint8Array(30); for (i = 0; i < 30; i++) s[i] = 5; dist = codes(s);
    }
    while ((s = read(lit)) !== 256) {
      if (s < 256) { out[at++] = s; continue; }
      n = LENGTH[s - 257] + bits(LENGTH_MORE[s - 257]);
      s = read(dist); back = BACK[s] + bits(BACK_MORE[s]);
      if (back > at) throw new Error("before the beginning");
      while (n--) { out[at] = out[at - back]; at++; }
    }
  } while (!last);
  if (at !== size) throw new Error("wrong length");
  return out;
}

function sum(bytes) {   /* Adler-32 */
  var a = 1, b = 0, i;
  for (i = 0; i < bytes.length; i++) { a += bytes[i]; if (a > 65520) a -= 65521; b = (b + a) % 65521; }
  return b * 65536 + a;
}

var byId = function (id) { return document.getElementById(id); };
var words = byId("words"), picture = byId("picture"), more = byId("more"), store = byId("answers");
var dials = [].slice.call(document.querySelectorAll(".dial input, .dial select")), shown = {}, glance, data, i;

function start() {
  var text = atob(store.textContent.replace(/\s/g, "")), packed = new Uint8Array(text.length), i, bytes;
  for (i = 0; i < text.length; i++) packed[i] = text.charCodeAt(i);
  bytes = inflate(packed, Number(store.getAttribute("data-size")));
  if (sum(bytes) !== Number(store.getAttribute("data-sum"))) throw new Error("damaged");
  data = JSON.parse(new TextDecoder("utf-8").decode(bytes));
}
function whole(list) {
  var parts = [], i;
  for (i = 0; i < list.length; i++) parts.push(data.pieces[list[i]]);
  return parts.join("");
}
function put(where, name, number) {   /* only what changed, so that a screen reader says nothing twice */
  if (!where || shown[name] === number) return;
  shown[name] = number;
  where.innerHTML = whole(data.texts[number]);
}
function place(dial) { return dial.tagName === "SELECT" ? dial.selectedIndex : Math.round(Number(dial.value)); }

function show() {
  var k = 0, c, row, col, behind = 1, here = [];
  dials.forEach(function (dial, i) {
    var at = place(dial), text = data.steps[i][at], said = byId(dial.id + "-value");
    here.push(at);
    k = k * data.steps[i].length + at;
    if (said) { said.textContent = text; dial.setAttribute("aria-valuetext", text); }
  });
  c = data.cells.slice(4 * k, 4 * k + 4);
  words.className = c[3] === 4 ? "wrong" : "";
  picture.className = c[3] === 4 ? "none" : "";
  put(picture, "picture", c[0]);
  put(words, "words", c[1]);
  put(more, "more", c[2]);
  if (!glance) return;
  for (i = 2; i < here.length; i++) behind *= data.steps[i].length;
  row = data.steps[0].length; col = data.steps[1].length;
  k -= (here[0] * col + here[1]) * behind;   /* what is left is the third input's place */
  for (i = 0; i < row * col; i++) {
    glance[i].textContent = data.marks[data.cells[4 * (i * behind + k) + 3]];
    glance[i].className = i === here[0] * col + here[1] ? "here" : "";
  }
  if (byId("glance-at")) byId("glance-at").textContent = data.steps[2][here[2]];
}

if (byId("unscripted")) byId("unscripted").parentNode.removeChild(byId("unscripted"));
try {
  if (!dials.length) return;
  start();
} catch (mishap) {
  words.className = "wrong";
  words.innerHTML = "<p>" + byId("damaged").innerHTML + "</p>";
  dials.forEach(function (dial) { dial.disabled = true; });
  return;
}
glance = byId("glance") && [].slice.call(document.querySelectorAll("#glance td"));
dials.forEach(function (dial) { dial.addEventListener("input", show); dial.addEventListener("change", show); });
window.addEventListener("pageshow", show);
show();
document.documentElement.setAttribute("data-ready", "yes");
})();
"""

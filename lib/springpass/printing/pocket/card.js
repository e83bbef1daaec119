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

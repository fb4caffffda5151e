// The sketch that follows the typing on the page of a surface: at once, before the
// server has answered, and where there is no signal.
//
// While the keypad is up the sketch stands at the top of the screen, so that a wrong
// reading is seen as it is keyed; the side being measured is drawn in blue.

import { sketch } from "./sketch.js";
import { systemOf } from "./fields.js";

const form = document.querySelector("form[data-surface]");
const drawn = document.querySelector("[data-draw]");
const HIGH = 236;
const SIDE_OF = { width: 0, height: 3 };
let panel = null;
let now = null;

const value = (name) => {
  const found = form.elements[name];
  const one = found instanceof RadioNodeList ? [...found].find((each) => !each.disabled) : found;
  return one?.value;
};

function sketched(size) {
  const side = now && SIDE_OF[now.name];
  return sketch(value, { system: systemOf(form), now: panel ? side : undefined, ...size });
}

function draw() {
  if (panel) {
    const svg = sketched({ width: window.innerWidth, height: HIGH });
    panel.hidden = !svg;
    if (svg) panel.replaceChildren(svg);
  }
  const old = drawn?.querySelector("figure > svg.dwg");
  const fresh = old && sketch(value, { system: systemOf(form) });
  if (!fresh) return;
  fresh.setAttribute("aria-label", old.getAttribute("aria-label"));
  if (now) keeping(now, () => old.replaceWith(fresh));
  else old.replaceWith(fresh);
}

// Change the page and scroll by as much as that moved a field: it stays where it was.
function keeping(field, change) {
  const before = field.getBoundingClientRect().top;
  change();
  const moved = field.getBoundingClientRect().top - before;
  window.scrollBy({ top: moved, behavior: "instant" });
}

function pin(field) {
  now = field;
  if (!panel) {
    keeping(field, () => {
      panel = document.createElement("div");
      panel.className = "live";
      panel.setAttribute("aria-hidden", "true");
      document.querySelector(".leaf").append(panel);
    });
  }
  draw();
}

function unpin() {
  if (!panel) return;
  keeping(now, () => panel.remove());
  [panel, now] = [null, null];
}

if (form) {
  form.addEventListener("input", draw);
  document.addEventListener("pad", ({ detail }) => {
    if (detail.field && form.contains(detail.field)) pin(detail.field);
    else unpin();
  });
}

// The keypad for lengths: an inch of tape over ten figures, under the thumb.
//
// It stands in for the phone's own keyboard where a finger points; with a mouse and a
// keyboard the fields are typed into as they are. What is typed stays text: the field
// holds "5′ 0 1/2″" and not a number.

import { INCH, MM, exactText } from "./lengths.js";
import { systemOf, ticksIn } from "./fields.js";

const template = document.getElementById("keypad");
const fingers = window.matchMedia("(pointer: coarse)");
let pad = null;
let field = null;

const FRACTION = / ?\b[0-9]+\/[0-9]+(?=″?$)/;

function write(text, { from = field.selectionStart, to = field.selectionEnd } = {}) {
  field.setRangeText(text, from, to, "end");
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

// Put a whole new text into the field.
function rewrite(text) {
  write(text, { from: 0, to: field.value.length });
}

function takeFraction(word) {
  const text = field.value;
  const mark = text.endsWith("″") ? "″" : "";
  const bare = mark ? text.slice(0, -1) : text;
  const old = FRACTION.exec(bare);
  const whole = old ? bare.slice(0, old.index) : bare;
  const same = old && old[0].trim() === word;
  const gap = whole && !/\s$/.test(whole) ? " " : "";
  rewrite(same ? `${whole}${mark}` : `${whole}${gap}${word}${mark}`);
}

function nudge(steps) {
  const step = systemOf(field) === "imperial" ? INCH / 16 : MM;
  const ticks = ticksIn(field);
  if (ticks === null || ticks + steps * step < 0) return;
  rewrite(exactText(ticks + steps * step, systemOf(field)));
}

function erase() {
  const [from, to] = [field.selectionStart, field.selectionEnd];
  if (from !== to) write("");
  else if (from > 0) write("", { from: from - 1, to });
}

// Go to the next length of the page; after the last one, to what can be done.
function next() {
  const fields = [...document.querySelectorAll("input[data-length]")].filter(
    (one) => !one.disabled && one.offsetParent !== null,
  );
  const following = fields[fields.indexOf(field) + 1];
  if (following) {
    following.focus();
    return;
  }
  close();
  document.querySelector(".acts .main")?.focus();
}

const DOES = {
  write: (key) => write(key.dataset.text),
  fraction: (key) => takeFraction(key.dataset.text),
  nudge: (key) => nudge(Number(key.dataset.text)),
  erase,
  next,
};

function press(event) {
  const key = event.target.closest("button");
  if (!key || !field) return;
  DOES[key.dataset.does](key);
  show();
}

// Mark the fraction that stands in the field.
function show() {
  const old = FRACTION.exec(field.value.replace(/″$/, ""))?.[0].trim();
  for (const key of pad.querySelectorAll("[data-does=fraction]")) {
    key.setAttribute("aria-pressed", String(key.dataset.text === old));
  }
}

function build(system) {
  const made = template.content.cloneNode(true).querySelector(".pad");
  made.classList.toggle("metric", system === "metric");
  for (const key of made.querySelectorAll("[data-for]")) {
    if (key.dataset.for !== system) key.remove();
  }
  made.addEventListener("click", press);
  // The field keeps the focus, so that its caret stays where it was.
  made.addEventListener("pointerdown", (event) => event.preventDefault());
  return made;
}

function open(input) {
  pad?.remove();
  field = input;
  pad = build(systemOf(input));
  document.querySelector(".leaf").append(pad);
  show();
  tell(input);
  const whole = input.closest(".field") ?? input;
  window.requestAnimationFrame(() => whole.scrollIntoView({ block: "nearest", behavior: "instant" }));
}

function close() {
  if (!pad) return;
  pad.remove();
  [pad, field] = [null, null];
  tell(null);
}

// Tell the page which field the keypad writes into; null when it is gone.
function tell(input) {
  document.dispatchEvent(new CustomEvent("pad", { detail: { field: input } }));
}

function wanted() {
  return template && (fingers.matches || document.documentElement.dataset.pad === "always");
}

function prepare(input) {
  input.inputMode = wanted() ? "none" : "text";
}

document.addEventListener("focusin", ({ target }) => {
  if (!wanted()) return;
  if (target.matches("input[data-length]")) {
    prepare(target);
    open(target);
  } else if (pad && !pad.contains(target)) {
    close();
  }
});
document.addEventListener("keydown", (event) => {
  if (event.key === "Escape" && pad) close();
});
document.querySelectorAll("input[data-length]").forEach(prepare);
fingers.addEventListener("change", () => {
  document.querySelectorAll("input[data-length]").forEach(prepare);
  if (!wanted()) close();
});

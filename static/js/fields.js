// Length fields say how they were understood while they are typed into, and on leaving
// say in a sentence what was not. The server has the last word.

import { NotALength, lengthWords, parseLength } from "./lengths.js";

export const systemOf = (element) =>
  element.closest("[data-system]")?.dataset.system || "imperial";

// Return a field's ticks, null when it is empty or not understood.
export function ticksIn(input) {
  if (!input.value.trim()) return null;
  try {
    return parseLength(input.value, systemOf(input));
  } catch (error) {
    if (error instanceof NotALength) return null;
    throw error;
  }
}

function partOf(field, kind) {
  const found = field.querySelector(`.${kind}`);
  if (found) return found;
  const made = document.createElement("span");
  made.className = kind;
  made.dataset.live = "";
  field.append(made);
  return made;
}

// Show the other system's figure beside the label: what was typed, understood.
function echo(input) {
  const field = input.closest(".field");
  if (!field) return;
  const ticks = ticksIn(input);
  const system = systemOf(input) === "imperial" ? "metric" : "imperial";
  const said = partOf(field, "said");
  said.innerHTML = ticks === null ? "" : lengthWords(ticks, { system, setting: "html" });
}

function judge(input) {
  const field = input.closest(".field");
  if (!field) return;
  let sentence = "";
  try {
    if (input.value.trim()) parseLength(input.value, systemOf(input));
  } catch (error) {
    if (!(error instanceof NotALength)) throw error;
    sentence = error.message;
  }
  const old = field.querySelector(".wrong");
  if (!sentence && !old) return;
  const wrong = partOf(field, "wrong");
  wrong.textContent = sentence;
  wrong.id ||= `${input.id}-wrong`;
  field.toggleAttribute("data-bad", Boolean(sentence));
  if (sentence) {
    input.setAttribute("aria-invalid", "true");
    input.setAttribute("aria-describedby", wrong.id);
  } else {
    input.removeAttribute("aria-invalid");
  }
}

document.addEventListener("input", ({ target }) => {
  if (!target.matches("input[data-length]")) return;
  echo(target);
  if (target.closest(".field[data-bad]")) judge(target);
});
document.addEventListener("focusout", ({ target }) => {
  if (target.matches?.("input[data-length]")) judge(target);
});
for (const input of document.querySelectorAll("input[data-length]")) echo(input);

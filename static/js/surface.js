// The page of a surface: show the fields that its shape has, and let the drawing
// follow what is typed. The server draws, with the same module as the quote's PDF.

const form = document.getElementById("surface");
const drawn = document.getElementById("drawn");
const WAIT = 250;
let due = 0;
let asked = 0;

function value(name) {
  const field = form.elements[name];
  return field ? field.value : "";
}

function sides() {
  const lines = (text) => text.split("\n").filter((line) => line.trim()).length;
  const shape = value("shape");
  if (shape === "run") return lines(value("run"));
  if (shape === "polygon") return lines(value("points"));
  return { l: 6, u: 8 }[shape] || 4;
}

// A hidden group is disabled too, so that two shapes' fields of one name never clash.
function show(selector, name, wanted) {
  for (const group of form.querySelectorAll(selector)) {
    const on = group.dataset[name].split(" ").includes(wanted);
    group.hidden = !on;
    for (const field of group.querySelectorAll("input, select, textarea")) {
      field.disabled = !on;
    }
  }
}

function arrange() {
  show("[data-roles]", "roles", value("role"));
  if (["recess", "floor"].includes(value("role"))) {
    show("[data-drains]", "drains", value("drain") || "none");
  }
  show("[data-shapes]", "shapes", value("shape"));
  const count = sides();
  for (const row of form.querySelectorAll("[data-side]")) {
    row.hidden = Number(row.dataset.side) >= count;
  }
}

async function redraw() {
  const turn = (asked += 1);
  const body = new FormData(form);
  body.append("surface", form.dataset.surface);
  try {
    const answer = await fetch(drawn.dataset.draw, {
      method: "POST",
      body,
      headers: { "X-CSRFToken": value("csrfmiddlewaretoken") },
    });
    // A slower answer to an older question must not replace a newer drawing.
    if (answer.ok && turn === asked) drawn.innerHTML = await answer.text();
  } catch {
    // Without a signal the last drawing stays; nothing typed is lost.
  }
}

form.addEventListener("input", () => {
  arrange();
  window.clearTimeout(due);
  due = window.setTimeout(redraw, WAIT);
});
arrange();

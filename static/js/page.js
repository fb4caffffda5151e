// What every page can do: open a figure's working, close the menu.

// Open or close the working a figure belongs to.
function turn(figure) {
  const target = document.getElementById(figure.getAttribute("aria-controls"));
  if (!target) return;
  const opened = figure.getAttribute("aria-expanded") === "true";
  figure.setAttribute("aria-expanded", String(!opened));
  target.hidden = opened;
}

// Without script every working stands open; with it, only those asked for.
for (const figure of document.querySelectorAll("button.fig[aria-controls]")) {
  const target = document.getElementById(figure.getAttribute("aria-controls"));
  if (target) target.hidden = figure.getAttribute("aria-expanded") !== "true";
}

document.addEventListener("click", (event) => {
  const figure = event.target.closest("button.fig[aria-controls]");
  if (figure) turn(figure);
  for (const menu of document.querySelectorAll("details.menu[open]")) {
    if (!menu.contains(event.target)) menu.open = false;
  }
});

document.addEventListener("keydown", (event) => {
  if (event.key !== "Escape") return;
  for (const menu of document.querySelectorAll("details.menu[open]")) {
    menu.open = false;
    menu.querySelector("summary").focus();
  }
});

// What scrolls in a frame of its own can be reached and moved by keyboard.
function reach() {
  for (const frame of document.querySelectorAll("figure:has(.dwg), .over")) {
    if (frame.scrollWidth > frame.clientWidth) frame.tabIndex = 0;
    else frame.removeAttribute("tabindex");
  }
}
new MutationObserver(reach).observe(document.body, { childList: true, subtree: true });
window.addEventListener("resize", reach);
reach();

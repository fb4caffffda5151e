// Hand on a text that is shown once: copy it, or give it to the phone's share sheet.
// Its buttons stay hidden where a browser cannot do it; the text can always be selected.

function select(text) {
  const range = document.createRange();
  range.selectNodeContents(text);
  const chosen = window.getSelection();
  chosen.removeAllRanges();
  chosen.addRange(range);
}

async function copy(box, text, told) {
  try {
    await navigator.clipboard.writeText(text.textContent.trim());
    told.textContent = box.dataset.copied;
  } catch {
    // Without a secure address there is no clipboard: select it for the phone's own menu.
    select(text);
    told.textContent = box.dataset.selected;
  }
}

async function share(box, text) {
  try {
    await navigator.share({ title: box.dataset.title, url: text.textContent.trim() });
  } catch (refused) {
    if (refused.name !== "AbortError") select(text);
  }
}

for (const box of document.querySelectorAll("[data-hand]")) {
  const text = box.querySelector(".address");
  const told = box.querySelector("[role=status]");
  const [copying, sharing] = ["copy", "share"].map((act) => box.querySelector(`[data-act=${act}]`));
  copying.hidden = false;
  copying.addEventListener("click", () => copy(box, text, told));
  if (!navigator.share) continue;
  sharing.hidden = false;
  sharing.addEventListener("click", () => share(box, text));
}

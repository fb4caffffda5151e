// A page whose board plan may still get better asks for the longer search by itself,
// and says when it has ended. The page changes only when the reader asks for it.

const form = document.querySelector("form[data-search]");
const FIRST_PAUSE = 2000;
const MOST_ASKED = 12;

const pause = (ms) => new Promise((done) => setTimeout(done, ms));

async function ask() {
  const answer = await fetch(form.action, {
    method: "POST",
    body: new FormData(form),
    redirect: "manual",
  });
  return answer.type === "opaqueredirect" || answer.ok;
}

// Read the page again and see how far its search is: nothing is left to say once a
// plan was found, and "ended" is said of one that found no answer.
async function standing() {
  const answer = await fetch(location.href);
  if (!answer.ok) return "looking";
  const said = /data-search="([a-z]+)"/.exec(await answer.text());
  return said ? said[1] : "";
}

function say() {
  for (const part of form.querySelectorAll("[data-open]")) part.hidden = true;
  for (const part of form.querySelectorAll("[data-looking]")) part.hidden = false;
}

function offer(words) {
  const link = document.createElement("a");
  link.className = "do";
  link.href = location.href;
  link.textContent = words;
  form.querySelector("p").replaceChildren(link);
}

async function follow() {
  if (form.dataset.search === "ended") return;
  if (form.dataset.search === "open") {
    say();
    if (!(await ask())) return;
  }
  for (let turn = 1; turn <= MOST_ASKED; turn += 1) {
    const now = await standing();
    if (now === "") return offer(form.dataset.ended);
    if (now === "ended") return offer(form.dataset.failed);
    await pause(FIRST_PAUSE * turn);
  }
}

// Without a signal the plan at hand stands, and the next visit to the page asks again.
if (form) follow().catch(() => {});

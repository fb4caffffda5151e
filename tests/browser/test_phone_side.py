"""The phone's own modules, run in a headless browser against the shared vectors."""

from __future__ import annotations

import functools
import http.server
import json
import shutil
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, sync_playwright

ROOT = Path(__file__).parents[2]
VECTORS = ROOT / "tests" / "vectors"


class Quiet(http.server.SimpleHTTPRequestHandler):
    """Serve the static files and say nothing."""

    def log_message(self, *args: object) -> None:
        """Keep the test's output clean."""


@pytest.fixture(scope="module")
def page() -> Iterator[Page]:
    """Return an empty page that can import the modules."""
    handler = functools.partial(Quiet, directory=str(ROOT / "static"))
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"))
        opened = browser.new_page(viewport={"width": 390, "height": 844})
        opened.goto(f"http://127.0.0.1:{server.server_port}/img/mark.svg")
        opened.goto(f"http://127.0.0.1:{server.server_port}/js/")
        yield opened
        browser.close()
    server.shutdown()
    server.server_close()


def cases(name: str) -> list[dict[str, Any]]:
    """Return a file of vectors."""
    found: list[dict[str, Any]] = json.loads((VECTORS / name).read_text("utf-8"))
    return found


def test_the_phone_reads_every_length_as_the_server_does(page: Page) -> None:
    wanted = cases("lengths.json")
    found = page.evaluate(
        """async (cases) => {
          const { parseLength, NotALength } = await import("/js/lengths.js");
          return cases.map(({ text, system }) => {
            try {
              return parseLength(text, system);
            } catch (error) {
              if (error instanceof NotALength) return null;
              return `${error}`;
            }
          });
        }""",
        wanted,
    )
    wrong = [
        (case, ticks)
        for case, ticks in zip(wanted, found, strict=True)
        if ticks != case["ticks"]
    ]
    assert not wrong


def test_the_phone_writes_lengths_that_it_reads_back(page: Page) -> None:
    ticks = sorted({case["ticks"] for case in cases("lengths.json")} - {None})
    found = page.evaluate(
        """async (all) => {
          const { exactText, parseLength } = await import("/js/lengths.js");
          return all.flatMap((ticks) => ["imperial", "metric"].map((system) =>
            parseLength(exactText(ticks, system), system)));
        }""",
        ticks,
    )
    assert found == [value for value in ticks for _ in range(2)]


def test_the_phone_refuses_with_a_sentence_that_quotes_what_was_typed(
    page: Page,
) -> None:
    said = page.evaluate(
        """async () => {
          const { parseLength } = await import("/js/lengths.js");
          try {
            parseLength("5 0 4/0", "imperial");
          } catch (error) {
            return error.message;
          }
        }"""
    )
    assert said == "“4/0” divides by zero; check the fraction."


def test_the_phone_draws_what_the_server_draws(page: Page) -> None:
    wanted = cases("sketches.json")
    found = page.evaluate(
        """async (cases) => {
          const { drawSurface } = await import("/js/drawing.js");
          return cases.map(({ surface, frame }) => drawSurface(surface, frame));
        }""",
        wanted,
    )
    for case, svg in zip(wanted, found, strict=True):
        assert svg == case["svg"], case["surface"]["name"]


HAND = """async ([share, clipboard]) => {
  document.body.innerHTML = `<div data-hand data-title="Shower" data-copied="Copied."
    data-selected="Selected."><p class="address">https://tiles.example/o/abc</p>
    <button data-act="copy" hidden></button><button data-act="share" hidden></button>
    <p role="status"></p></div>`;
  const done = { shared: "", copied: "" };
  const set = (name, value) =>
    Object.defineProperty(navigator, name, { value, configurable: true });
  set("share", share ? async (what) => { done.shared = what.url; } : undefined);
  set("clipboard", clipboard
    ? { writeText: async (text) => { done.copied = text; } } : undefined);
  await import("/js/hand.js?" + share + clipboard);
  const [copying, sharing] = document.querySelectorAll("button");
  const hidden = [copying.hidden, sharing.hidden];
  copying.click();
  if (share) sharing.click();
  await new Promise((resume) => setTimeout(resume));
  const told = document.querySelector("[role=status]").textContent;
  return { ...done, hidden, told, chosen: String(getSelection()) };
}"""


def test_an_address_shown_once_is_copied_and_shared(page: Page) -> None:
    found = page.evaluate(HAND, [True, True])

    assert found["hidden"] == [False, False]
    assert found["copied"] == found["shared"] == "https://tiles.example/o/abc"
    assert found["told"] == "Copied."


def test_where_nothing_can_copy_the_address_is_selected_whole(page: Page) -> None:
    found = page.evaluate(HAND, [False, False])

    assert found["hidden"] == [False, True]
    assert (found["chosen"], found["told"]) == (
        "https://tiles.example/o/abc", "Selected."
    )  # fmt: skip

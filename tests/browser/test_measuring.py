"""The keypad and the live sketch, with a finger, on a page of their own."""

from __future__ import annotations

import functools
import http.server
import shutil
import threading
from collections.abc import Iterator
from typing import Any

import pytest
from django.template.loader import render_to_string
from playwright.sync_api import Browser, Page, sync_playwright

from materials.core.drawing.marks import icon
from quotes.core.surfaces import measured_outline
from quotes.core.visit_file import read_visit
from tests.builders import a_bare_visit, a_surface
from tests.source_files import ROOT

EIGHTHS = [("1/8", "⅛"), ("1/4", "¼"), ("3/8", "⅜"), ("1/2", "½"), ("3/4", "¾")]
FIELDS = ("width", "height", "opening_0_left")
SHAPES: list[dict[str, Any]] = [
    {"kind": "rectangle", "width": "3000", "height": "2000"},
    *(
        {
            "kind": "l", "width": "3000", "height": "2000", "cut_width": "1000",
            "cut_height": "500", "corner": corner,
        }
        for corner in ("lower_left", "lower_right", "upper_right", "upper_left")
    ),
    {
        "kind": "u", "width": "3 m", "height": "2000", "cut_left": "700",
        "cut_width": "1000", "cut_height": "500",
    },
    {
        "kind": "run", "sides": ["3000", "1000", "1200", "800", "1800", "1800"],
        "corners": ["90", "90", "270", "90", "90"],
    },
]  # fmt: skip


class Quiet(http.server.SimpleHTTPRequestHandler):
    """Serve the static files and say nothing."""

    def log_message(self, *args: object) -> None:
        """Keep the test's output clean."""


def measuring_page() -> str:
    """Return a page with the fields of a surface and the keypad laid ready."""
    fields = "".join(
        f'<div class="field"><label for="{name}">{name}</label><span class="online">'
        f'<input id="{name}" name="{name}" data-length></span></div>'
        for name in FIELDS
    )
    keypad = render_to_string("_keypad.html", {"eighths": EIGHTHS, "icon": icon})
    return (
        '<!doctype html><html lang="en" data-system="imperial"><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        '<link rel="stylesheet" href="/css/screen.css">'
        '<script type="module" src="/js/keypad.js"></script>'
        '<script type="module" src="/js/live.js"></script>'
        '<div class="sheet"><div class="leaf"><main><form data-surface="" '
        'class="stack"><input type="hidden" name="shape" value="rectangle">'
        f"{fields}</form></main></div></div>{keypad}</html>"
    )


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """Return a headless browser."""
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=shutil.which("chromium"))
        yield opened
        opened.close()


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    """Return where the static files are served."""
    handler = functools.partial(Quiet, directory=str(ROOT / "static"))
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    server.server_close()


@pytest.fixture
def page(browser: Browser, address: str) -> Iterator[Page]:
    """Return the page of a phone that is touched."""
    phone = browser.new_context(
        viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True
    )
    opened = phone.new_page()
    opened.route(
        "**/measuring",
        lambda route: route.fulfill(
            content_type="text/html; charset=utf-8", body=measuring_page()
        ),
    )
    opened.goto(f"{address}/measuring")
    yield opened
    phone.close()


def press(page: Page, *texts: str) -> None:
    """Press keys of the keypad by what they write."""
    for text in texts:
        page.locator(f'.pad [data-text="{text}"]').first.tap()


def test_a_length_is_keyed_in_feet_inches_and_a_fraction(page: Page) -> None:
    page.locator("#width").tap()
    press(page, "5", "′ ", "0", "1/2")
    assert page.locator("#width").input_value() == "5′ 0 1/2"

    press(page, "3/8", "″")
    assert page.locator("#width").input_value() == "5′ 0 3/8″"
    assert page.locator('.pad [aria-pressed="true"]').inner_text() == "⅜"
    assert page.locator(".field:has(#width) .said").inner_text() == "1533.5\u00a0mm"

    page.locator('.pad [data-does="nudge"][data-text="1"]').tap()
    assert page.locator("#width").input_value() == "5′\u00a00 7/16″"

    page.locator('.pad [data-does="erase"]').tap()
    assert page.locator("#width").input_value() == "5′\u00a00 7/16"


def test_the_sketch_stands_over_the_keypad_with_the_measured_side_in_blue(
    page: Page,
) -> None:
    page.locator("#width").tap()
    press(page, "5", "′ ")
    assert page.locator(".live").is_hidden()

    page.locator(".pad .go").tap()
    press(page, "8", "′ ")
    assert page.locator(".live svg").count() == 1
    assert page.locator(".live .now text").text_content() == "8′\u00a00″"

    page.keyboard.press("Escape")
    assert page.locator(".pad, .live").count() == 0


def test_what_is_not_understood_is_said_on_leaving_and_kept(page: Page) -> None:
    page.locator("#width").tap()
    page.locator("#width").fill("5 0 4/0")
    page.locator(".pad .go").tap()

    wrong = page.locator(".field:has(#width) .wrong")
    assert wrong.inner_text() == "“4/0” divides by zero; check the fraction."
    assert page.locator("#width").input_value() == "5 0 4/0"
    assert page.locator("#width").get_attribute("aria-invalid") == "true"


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: shape["kind"])
def test_the_phone_lays_out_a_shape_as_the_server_does(
    page: Page, shape: dict[str, Any]
) -> None:
    visit = read_visit(a_bare_visit(a_surface(shape=shape)))
    space = visit.spaces[0]
    wanted = measured_outline(space.surfaces[0], space=space, system="metric").ring

    corners = [*shape.get("corners", []), ""]
    values = {
        **{name: value for name, value in shape.items() if isinstance(value, str)},
        "shape": shape["kind"],
        "cut_corner": shape.get("corner", ""),
        "run": "\n".join(
            f"{side}; {corner}" if corner else side
            for side, corner in zip(shape.get("sides", []), corners, strict=False)
        ),
    }
    found = page.evaluate(
        """async (values) => {
          const { surfaceFrom } = await import("/js/sketch.js");
          return surfaceFrom((name) => values[name], "metric").outline;
        }""",
        values,
    )
    assert [tuple(place) for place in found] == list(wanted)

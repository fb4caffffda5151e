"""The engine's process: shut in, ended by what takes too much, replaced, warm."""

from __future__ import annotations

import contextlib
import os
import signal
import threading
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from django.conf import settings
from django.test import Client as Browser
from django.urls import reverse
from django.utils import timezone

from materials.management.commands.prepare_fonts import prepare_fonts
from materials.models import Outgoing
from materials.printing import FontsMissing, PaperRefused
from materials.printing.child import Limits, Renderer
from quotes.services import make_link
from tests.service.office import a_draft, ada, new_key, signed_in

HELLO = "<p>Hello</p>"
# Boxes in boxes that each measure what is inside them twice: 364 bytes, 2^14 measures.
BOMB = '<div style="display:flex">' * 14 + "x" + "</div>" * 14


@pytest.fixture(scope="module", autouse=True)
def _fonts() -> None:
    prepare_fonts(Path(settings.BASE_DIR) / "static" / "fonts")


@pytest.fixture
def renderer() -> Iterator[Callable[..., Renderer]]:
    """Make handles, and end their processes afterwards."""
    made: list[Renderer] = []

    def make(**limits: int) -> Renderer:
        made.append(Renderer(Limits(**limits)))
        return made[-1]

    yield make
    for one in made:
        one.stop()


def is_alive(pid: int | None) -> bool:
    try:
        os.kill(pid or 0, 0)
    except ProcessLookupError:
        return False
    return True


def test_a_warm_process_makes_equal_bytes_of_equal_pages(
    renderer: Callable[..., Renderer],
) -> None:
    engine = renderer()
    first, pid = engine.pdf(HELLO), engine.pid

    assert first.startswith(b"%PDF-")
    assert engine.pdf(HELLO) == first
    assert engine.pid == pid


def test_a_bomb_is_ended_by_its_computing_and_the_next_paper_is_made(
    renderer: Callable[..., Renderer],
) -> None:
    engine = renderer(cpu=2)
    engine.pdf(HELLO)
    pid = engine.pid
    with pytest.raises(PaperRefused, match="2 seconds of computing"):
        engine.pdf(BOMB)

    assert not is_alive(pid)
    assert engine.pdf(HELLO).startswith(b"%PDF-")


def test_a_bomb_is_ended_by_the_clock(renderer: Callable[..., Renderer]) -> None:
    engine = renderer()
    engine.pdf(HELLO)
    engine.limits = Limits(wall=2)

    with pytest.raises(PaperRefused, match="was stopped"):
        engine.pdf(BOMB)


def test_seconds_are_counted_for_each_paper_anew(
    renderer: Callable[..., Renderer],
) -> None:
    engine = renderer(cpu=3)
    half = "<table>" + "<tr><td>x</td><td>y</td></tr>" * 400 + "</table>"
    engine.pdf(HELLO)
    pid = engine.pid
    for _ in range(4):
        engine.pdf(half)

    assert engine.pid == pid


def test_too_much_memory_ends_in_a_sentence(renderer: Callable[..., Renderer]) -> None:
    engine = renderer(memory=260_000_000)
    wide = "<table>" + ("<tr>" + "<td>x</td>" * 12 + "</tr>") * 1_500 + "</table>"

    with pytest.raises(PaperRefused, match=r"memory|engine ended"):
        engine.pdf(wide)
    assert engine.pdf(HELLO).startswith(b"%PDF-")


def test_a_process_is_replaced_after_its_share(
    renderer: Callable[..., Renderer],
) -> None:
    engine = renderer(renders=2)
    engine.pdf(HELLO)
    pid = engine.pid
    engine.pdf(HELLO)

    assert not is_alive(pid)
    assert engine.pdf(HELLO).startswith(b"%PDF-")
    assert engine.pid != pid


def test_a_process_that_is_killed_costs_one_paper(
    renderer: Callable[..., Renderer],
) -> None:
    engine = renderer()
    engine.pdf(HELLO)
    os.kill(engine.pid or 0, signal.SIGKILL)

    # Whether it is seen dead before or after it is asked is a matter of chance.
    with contextlib.suppress(PaperRefused):
        engine.pdf(HELLO)
    assert engine.pdf(HELLO).startswith(b"%PDF-")


def test_threads_share_one_process(renderer: Callable[..., Renderer]) -> None:
    engine, made = renderer(), []
    threads = [
        threading.Thread(target=lambda: made.append(engine.pdf(HELLO)))
        for _ in range(4)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert len(made) == 4
    assert len(set(made)) == 1


def test_the_engine_reads_no_file_and_no_address(
    renderer: Callable[..., Renderer], tmp_path: Path
) -> None:
    secret = tmp_path / "secret.txt"
    secret.write_text("the van's key is under the mat")
    page = (
        f'<link rel="attachment" href="file://{secret}"><img src="file://{secret}">'
        f'<p>Hello</p><object data="file://{secret}"></object>'
    )

    pdf = renderer().pdf(page)

    assert b"EmbeddedFile" not in pdf


def test_the_engine_is_told_no_secret(
    renderer: Callable[..., Renderer], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("GAUGEROD_SECRET_KEY", "not-for-the-engine")
    engine = renderer()
    engine.pdf(HELLO)
    given = Path(f"/proc/{engine.pid}/environ")
    if not given.exists():
        pytest.skip("no /proc on this system")

    assert b"GAUGEROD" not in given.read_bytes()


def test_a_missing_font_is_named(
    renderer: Callable[..., Renderer], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    css = (Path(settings.BASE_DIR) / "static" / "css" / "print.css").read_text("utf-8")
    (tmp_path / "static" / "css").mkdir(parents=True)
    (tmp_path / "static" / "css" / "print.css").write_text(css, encoding="utf-8")
    start = (
        "from pathlib import Path; from materials.printing import engine; "
        f"engine.STATIC = Path({str(tmp_path / 'static')!r}); "
        "engine.main({seconds}, {memory})"
    )
    monkeypatch.setattr("materials.printing.child._START", start)

    with pytest.raises(FontsMissing, match="prepare_fonts"):
        renderer().pdf(HELLO)


@pytest.mark.django_db
def test_a_refused_paper_is_a_sentence_on_the_page_and_stays_owed(
    renderer: Callable[..., Renderer], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("materials.printing.RENDERER", renderer(wall=0))
    draft, browser = a_draft(), signed_in(ada())
    number = draft.quote.number
    page = browser.get(reverse("quote-paper", args=[number, "A"]), follow=True)
    assert "was stopped" in page.content.decode()

    page = browser.post(reverse("act-on-quote", args=[number, "offer"]), follow=True)

    assert "was stopped" in page.content.decode()
    draft.refresh_from_db()
    assert draft.state == "offered"
    assert Outgoing.objects.get().state == "waiting"
    _link, token = make_link(
        revision=draft, at=timezone.now(), person=ada(), key=new_key()
    )
    refused = Browser().get(reverse("offer-paper", args=[token]))
    assert refused.status_code == 422
    assert "was stopped" in refused.content.decode()

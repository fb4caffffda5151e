"""Hostile words on paper: printed as words, fetching, opening and running nothing."""

from __future__ import annotations

import copy
import io
import sys
from collections.abc import Iterator
from dataclasses import replace
from html import unescape
from itertools import cycle
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from django.conf import settings
from django.utils import timezone

from jobs import services as jobs
from jobs.printing import invoice_pdf
from jobs.services import DraftEntry
from materials.core.pdf_safety import unsafe_parts
from materials.core.pricelist import catalogue_on
from materials.management.commands.prepare_fonts import prepare_fonts
from materials.models import Business
from materials.printing import PaperRefused
from materials.printing.child import Limits, Renderer
from quotes.core import document
from quotes.core.document import Drawing, Quote
from quotes.models import Client
from quotes.printing import cut_list_pdf, quote_pdf
from tests import builders
from tests.priced import ON, priced_visit
from tests.service.jobs import booked

SECRET = "the van's key is under the mat"
PLACE = "/SECRET-PLACE"
"""Stands in the corpus for the file that holds the secret."""

HOSTILE = [
    "<script>heron()</script>", "<b>heron</b>", "&lt;b&gt;", "&#60;b&#62;", "<h1 id=h>",
    f'<link rel="attachment" href="file://{PLACE}">',
    f'<a rel="attachment" href="file://{PLACE}">heron</a>',
    f'<img src="file://{PLACE}">', '<img src="http://127.0.0.1:9/heron.png">',
    '<img src="//evil.example/heron">', f'<object data="file://{PLACE}"></object>',
    '<embed src="http://127.0.0.1:9/h">', f'<iframe src="file://{PLACE}"></iframe>',
    "<style>@import url(http://127.0.0.1:9/h.css);</style>",
    "<style>@font-face{font-family:h;src:url(http://127.0.0.1:9/h.woff)}</style>",
    f"<style>*{{background:url(file://{PLACE})}}</style>",
    "<style>@page{background:url('ftp://evil.example/h')}</style>",
    '<div style="background:url(http://127.0.0.1:9/h)">', "<svg onload=heron()>",
    f'<svg><image href="file://{PLACE}"/></svg>',
    f'<svg><use href="file://{PLACE}#h"/></svg>',
    '<meta http-equiv="refresh" content="0;url=http://127.0.0.1:9/">',
    '<base href="http://127.0.0.1:9/">', "<a href='javascript:heron()'>h</a>",
    '<a href="https://evil.example/heron">h</a>', '"><input name=h>', "'><b>h",
    '" onload="heron()', "]]><b>h", "<?xml version='1.0'?>", "<?php heron(); ?>",
    "{{ settings.SECRET_KEY }}", "{% load static %}", "{0.__class__}", "%(name)s %s",
    "${7*7}", "#{7*7}", "<%= 7*7 %>", "\\u003cb\\u003e", "h\x08\x1b[2J", "\u202eheron",
    "＜script＞heron＜/script＞", "/JavaScript (app.alert(1))", ") Tj ET endstream",
    "endobj 9 0 obj<</S/Launch>>", "-->", "</title></svg></style>", "=HYPERLINK(1)",
    "<!DOCTYPE h [<!ENTITY x SYSTEM 'file:///etc/passwd'>]>&x;", "<![CDATA[h",
    "<!-- heron",
]  # fmt: skip
PARTS = 3
DRAWN = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M0 0h9"/></svg>'
)
HEARD = (
    "import sys; heard = open({place!r}, 'a', buffering=1); "
    "sys.addaudithook(lambda event, given: heard.write(f'{{event}} {{given!r}}\\n') "
    "if event == 'open' or event.startswith(('socket', 'subprocess', 'os.', 'url', "
    "'ftplib', 'http')) else None); "
)


class Watched:
    """An engine that writes down what it is asked, what it opens and whom it calls."""

    def __init__(self, renderer: Renderer, heard: Path, secret: Path) -> None:
        self.renderer, self.heard, self.secret = renderer, heard, secret
        self.known: set[str] = set()
        self.asked = ""

    def pdf(self, html: str) -> bytes:
        self.asked = html
        return self.renderer.pdf(html)

    def opened(self) -> set[str]:
        return set(self.heard.read_text("utf-8").splitlines()) - self.known

    def words(self, part: int) -> str:
        """Return a third of the corpus, with the secret's place in it."""
        return " ".join(self.typed(part))

    def typed(self, part: int) -> list[str]:
        return [one.replace(PLACE, str(self.secret)) for one in HOSTILE[part::PARTS]]


@pytest.fixture(scope="module")
def watched(tmp_path_factory: Any) -> Iterator[Watched]:
    """Start one engine for all papers, and let it load all that any paper needs."""
    prepare_fonts(Path(settings.BASE_DIR) / "static" / "fonts")
    place = tmp_path_factory.mktemp("watched")
    heard, secret = place / "heard", place / "secret.txt"
    secret.write_text(SECRET, encoding="utf-8")
    start = "from materials.printing.engine import main; main({seconds}, {memory})"
    listening = HEARD.format(place=str(heard)).replace("{", "{{").replace("}", "}}")
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr("materials.printing.child._START", listening + start)
        found = Watched(Renderer(Limits(cpu=10, wall=30)), heard, secret)
        patched.setattr("materials.printing.RENDERER", found)
        quote_pdf(a_small_quote(), Business(name="Rill & Co", paper="a4"))
        found.known = found.opened()
        yield found
        found.renderer.stop()


@pytest.fixture
def engine(watched: Watched) -> Watched:
    return watched


def a_small_quote(terms: str = "Plain words") -> Quote:
    plain = replace(booked.a_quote("Q-1"), terms=tuple(terms.split("\n")))
    drawing = Drawing(key="surface-0", title="Wall", svg=DRAWN, description="As drawn")
    return replace(plain, drawings=(drawing,), exclusions=("Plumbing",))


def filled(
    found: Any, words: str, *, keys: frozenset[str], inside: bool = False
) -> Any:
    """Return a document with every text of these keys replaced."""
    if isinstance(found, dict):
        return {
            key: filled(value, words, keys=keys, inside=key in keys)
            for key, value in found.items()
        }
    if isinstance(found, list):
        return [filled(one, words, keys=keys, inside=inside) for one in found]
    if not inside or not isinstance(found, str):
        return found
    return words if isinstance(words, str) else next(words)


ON_A_QUOTE = frozenset(
    {"title", "name", "site", "scope", "label", "text", "detail", "exclusions",
     "cautions", "terms", "tax_name", "description", "unit", "revision"}
)  # fmt: skip
ON_A_VISIT = frozenset({"title", "address", "text", "notes", "scope"})


def judge(data: bytes, engine: Watched) -> None:
    """Fail on anything but words on pages."""
    assert unsafe_parts(data) == set()
    with pikepdf.open(io.BytesIO(data)) as pdf:
        assert not pdf.attachments
        for one in pdf.objects:
            if isinstance(one, pikepdf.Stream):
                assert SECRET.encode() not in one.read_bytes()
            if isinstance(one, pikepdf.Dictionary):
                assert "/URI" not in one
    heard = engine.opened()
    calls = {one for one in heard if not one.startswith(("open ", "os.listdir"))}
    allowed = (sys.prefix, sys.base_prefix, "/usr/lib", "/usr/share", "/etc/fonts")
    files = {one for one in heard if not any(place in one for place in allowed)}
    assert calls == set()
    assert files == set()


def as_words(engine: Watched, typed: list[str], *, least: int) -> None:
    """Fail unless the page has every word as it was typed, and none as its own."""
    read = unescape(engine.asked)
    for word in typed:
        assert read.count(word) >= least, word
        if set(word) & set("<>\"'") and not word.startswith(("-->", "]]>")):
            assert word not in engine.asked, word


def test_the_corpus_is_large_enough() -> None:
    assert len(set(HOSTILE)) >= 50


def test_the_watch_hears_what_an_engine_opens(engine: Watched) -> None:
    assert any("print.css" in one for one in engine.known)


@pytest.mark.parametrize("part", range(PARTS))
def test_a_quote_prints_them_as_words(part: int, engine: Watched) -> None:
    words = engine.words(part)
    hostile = filled(document.to_json(a_small_quote()), words, keys=ON_A_QUOTE)
    texts = dict.fromkeys(
        ("name", "trade_line", "address", "email", "phone", "licence_line",
         "bank_lines", "tax_name", "tax_number"), words[:120],
    )  # fmt: skip
    pdf = quote_pdf(document.from_json(hostile), Business(paper="a4", **texts))

    judge(pdf, engine)
    as_words(engine, engine.typed(part), least=8)


@pytest.mark.django_db
def test_drawings_and_cut_list_letter_them_as_words(engine: Watched) -> None:
    words = cycle(one.replace(PLACE, str(engine.secret))[:99] for one in HOSTILE)
    file = filled(builders.a_shower(), words, keys=ON_A_VISIT)
    for one in (
        file["client"], *file["spaces"],
        *(surface for space in file["spaces"] for surface in space["surfaces"]),
    ):  # fmt: skip
        one["name"] = f"{next(words)} {next(words)}"
    found = priced_visit(file)
    listed = found.visit.price_list
    assert listed is not None

    pdf = cut_list_pdf(
        found.visit, catalogue_on(listed, ON), title=found.visit.title, on=ON
    )

    judge(pdf, engine)
    as_words(engine, [file["spaces"][0]["name"], file["title"]], least=1)


@pytest.mark.django_db
def test_an_invoice_prints_them_as_words(
    engine: Watched, monkeypatch: pytest.MonkeyPatch
) -> None:
    plain = booked.a_quote
    for part in range(PARTS):
        words = engine.words(part)
        texts = dict.fromkeys(
            ("name", "trade_line", "address", "licence_line", "bank_lines"), words[:120]
        )

        def hostile(number: str, words: str = words) -> Any:
            frozen = document.to_json(plain(number))
            keys = ON_A_QUOTE - {"unit", "revision", "label", "tax_name"}
            changed = filled(copy.deepcopy(frozen), words, keys=keys)
            return document.from_json(changed)

        monkeypatch.setattr(booked, "a_quote", hostile)
        booked.a_business()
        Business.objects.update(**texts)
        job = booked.a_job(f"Q-{part}")
        Client.objects.update(name=words[:160], address=words)
        draft = jobs.draft_invoice(
            job=job, entry=DraftEntry(kind="final", title=words[:200]),
            person=booked.ada(), key=booked.new_key(),
        )  # fmt: skip
        row = jobs.issue_invoice(
            invoice=draft, person=booked.ada(), at=timezone.now(),
            key=booked.new_key(),
        )  # fmt: skip
        judge(invoice_pdf(row), engine)
        as_words(engine, engine.typed(part), least=2)


@pytest.mark.parametrize(
    "words",
    ["e" + "\u0301" * 3_999, "(" * 4_000, "\u200d".join("👩" * 1_900), "x" * 4_000,
     "\u05d0\u202e" * 2_000],
    ids=["marks", "brackets", "joined", "one word", "turns"],
)  # fmt: skip
def test_the_longest_terms_of_the_worst_letters_end_in_time(
    words: str, engine: Watched
) -> None:
    business = Business(name="Rill & Co", paper="a4")
    try:
        assert quote_pdf(a_small_quote(words), business).startswith(b"%PDF-")
    except PaperRefused as refused:
        assert "was stopped" in refused.sentence  # noqa: PT017 - either may happen

    assert quote_pdf(a_small_quote(), business).startswith(b"%PDF-")

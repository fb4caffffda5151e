"""The cut list: pieces numbered alike on stock and surface, no prices, on paper too."""

from __future__ import annotations

import copy
import io
import json
import re
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone
from pypdf import PdfReader

from materials.core.lengths import Length
from materials.models import Material, Offcut
from materials.services.rack import RackEntry, add_offcut, set_rack_rules, write_off
from quotes.models import Rates, Visit
from quotes.presenters.cut_drawings import letter_of
from quotes.services.visit_files import take_visit_file
from tests.service.jobs.booked import a_job
from tests.service.office import (
    a_space,
    a_stocked_business,
    accepted,
    ada,
    an_offer,
    ben,
    new_key,
    pounds,
    signed_in,
    text_of,
)
from tests.service.remembered import remembered

pytestmark = pytest.mark.django_db


def a_shower() -> Visit:
    """Store the recess of the demo, for the starter list of a metric business."""
    remembered("the recess of the demo", _shower)
    return Visit.objects.get()


def _shower() -> None:
    a_stocked_business()
    take_visit_file(data=recess(), person=ada(), key=new_key())


def recess() -> dict[str, Any]:
    path = Path(settings.BASE_DIR) / "quotes/demo/recess-visit.json"
    plain: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return plain


def page(browser: Browser, visit: Visit, name: str = "cut-list") -> Any:
    answer = browser.get(reverse(name, args=[visit.uid]))
    assert answer.status_code == 200
    return answer


def test_the_setter_reads_where_an_opening_had_better_stand() -> None:
    visit = a_shower()

    assert (
        "Before framing: move the opening of"
        in page(signed_in(ben()), visit).content.decode()
    )
    Rates.objects.update(rules={"niche_reach": "0"})
    assert "Before framing" not in page(signed_in(ben()), visit).content.decode()


def test_boards_band_membrane_and_trim_are_listed_with_their_proof() -> None:
    text = text_of(signed_in(ben()), "cut-list", a_shower().uid)

    for said in (
        "3 sheets; 2 cannot be enough.",
        "2 rolls; nothing cheaper holds the length.",
        "1 roll is enough.",
        "2 lengths; 1 cannot be enough.",
        "Where the pieces go",
    ):
        assert said in text


def test_the_numbers_on_the_sheets_are_the_numbers_on_the_walls() -> None:
    sheet = page(signed_in(ben()), a_shower()).context["sheet"]

    board = next(row for row in sheet.materials if row.form == "sheet")
    cut = sorted(piece.number for stock in board.stock for piece in stock.pieces)
    drawn = sorted(
        int(number)
        for wall in board.walls
        for number in re.findall(r">(\d)<", wall.svg)
        if f"pieces {number}" in wall.svg or f", {number}" in wall.svg
    )
    assert cut == [1, 2, 3, 4]
    assert set(drawn) >= set(cut)


def test_a_setter_reads_no_price_on_it() -> None:
    text = page(signed_in(ben()), a_shower()).content.decode()

    for price in ("74.50", "223.50", "27.50", "16.90"):
        assert price not in text


def test_the_paper_says_the_same() -> None:
    answer = page(signed_in(ben()), a_shower(), "cut-list-paper")

    assert answer.headers["Content-Type"] == "application/pdf"
    words = " ".join(
        sheet.extract_text() for sheet in PdfReader(io.BytesIO(answer.content)).pages
    )
    assert "3 sheets; 2 cannot be enough." in words
    assert "Where the pieces go" in words
    assert "74.50" not in words


def test_the_pan_says_what_comes_off_each_side() -> None:
    text = text_of(signed_in(ben()), "cut-list", a_shower().uid)

    assert "188\u00a0mm off the right side" in text
    assert "226\u00a0mm off the far side" in text
    assert "86.44" not in text


def test_a_visit_with_nothing_to_cut_says_so() -> None:
    a_stocked_business()
    visit = a_space().visit

    text = text_of(signed_in(ada()), "cut-list", visit.uid)

    assert "Nothing is cut from sheets, rolls or lengths here." in text


def test_the_page_takes_so_many_queries() -> None:
    visit, browser = a_shower(), signed_in(ben())
    page(browser, visit)

    with CaptureQueriesContext(connection) as queries:
        page(browser, visit)

    assert len(queries) == 22


def test_cuts_are_lettered_past_z() -> None:
    assert [letter_of(n) for n in (1, 26, 27, 53)] == ["a", "z", "aa", "ba"]


def test_a_job_has_the_cut_list_of_what_was_agreed() -> None:
    visit = a_shower()
    offer = an_offer(visit)
    job = accepted(offer)
    visit.spaces.all().delete()

    browser = signed_in(ben())
    text = text_of(browser, "job-cut-list", job.number)

    assert "3 sheets; 2 cannot be enough." in text
    paper = browser.get(reverse("job-cut-list-paper", args=[job.number]))
    assert paper.headers["Content-Type"] == "application/pdf"
    link = reverse("job-cut-list", args=[job.number])
    assert link in browser.get(reverse("job", args=[job.number])).content.decode()


def test_a_job_of_typed_lines_says_that_nothing_was_measured() -> None:
    job = a_job()

    text = text_of(signed_in(ben()), "job-cut-list", job.number)

    assert "Nothing was measured for this job" in text
    paper = signed_in(ben()).get(reverse("job-cut-list-paper", args=[job.number]))
    assert paper.headers["Content-Type"].startswith("text/html")


def use_the_rack() -> Offcut:
    """Keep a strip that saves the recess its third sheet, and let plans use it."""
    set_rack_rules(use="use", value=Fraction(0), stale_days=365, person=ada())
    entry = RackEntry(
        material=Material.objects.get(code="BB-FOAM-M"),
        width=Length.mm(1_000),
        height=Length.mm(2_400),
        value=pounds("31.00"),
        place="van, left",
    )
    on = timezone.localdate()
    return add_offcut(entry=entry, on=on, person=ada(), key=new_key())


def test_pieces_of_the_rack_are_used_up_where_the_rules_say_so() -> None:
    visit = a_shower()
    use_the_rack()

    text = text_of(signed_in(ben()), "cut-list", visit.uid)

    assert "2 new sheets and 1 kept piece" in text
    mark = Offcut.objects.get().mark
    assert f"From the rack: {mark}, 1000\xa0mm × 2400\xa0mm, van, left" in text
    assert f"{mark}: not reserved yet. It is reserved when the quote is" in text
    assert "31.00" not in text
    bought = text_of(signed_in(ben()), "buy", visit.uid)
    assert f"{mark}: not reserved yet. It is reserved when the quote is" in bought
    set_rack_rules(use="leave", value=Fraction(0), stale_days=365, person=ada())
    left = text_of(signed_in(ben()), "cut-list", visit.uid)
    assert "3 sheets; 2 cannot be enough." in left


def keep(code: str, width: int, height: int) -> Offcut:
    entry = RackEntry(
        material=Material.objects.get(code=code),
        width=Length.mm(width),
        height=Length.mm(height),
        value=pounds("5.00"),
    )
    on = timezone.localdate()
    return add_offcut(entry=entry, on=on, person=ada(), key=new_key())


@pytest.mark.parametrize(
    ("code", "width", "height", "size"),
    [
        ("MB-SHEET", 4_000, 1_000, "1000\xa0mm × 4000\xa0mm"),
        ("MB-BAND", 120, 60_000, "60000\xa0mm"),
        ("TR-SQ-10", 10, 2_490, "2490\xa0mm"),
    ],
)
def test_rests_of_rolls_bands_and_lengths_are_used_up_like_boards(
    code: str, width: int, height: int, size: str
) -> None:
    visit = a_shower()
    set_rack_rules(use="use", value=Fraction(0), stale_days=365, person=ada())
    piece = keep(code, width, height)

    cut = page(signed_in(ben()), visit).context["sheet"]
    bought = page(signed_in(ben()), visit, "buy")

    name = piece.material.name
    (part,) = [row for row in cut.materials if row.name == name]
    assert "1 kept piece" in part.verdict
    said = f"From the rack: {piece.mark}, {size}"
    assert [row.name for row in part.stock if "rack" in row.name] == [said]
    (row,) = [row for row in bought.context["sheet"].bought if row.text == name]
    assert piece.mark in row.bound
    assert [step.formula for step in row.steps if step.label == "From the rack"] == [
        piece.mark
    ]


@pytest.mark.parametrize("supplied_by", ["us", "client"])
def test_boards_of_other_settings_are_drawn_and_listed(supplied_by: str) -> None:
    a_stocked_business()
    plain = recess()
    other = copy.deepcopy(plain["build_ups"]["wet-wall-foam"])
    other["layers"][0] |= {"thickness": "15", "supplied_by": supplied_by}
    plain["build_ups"]["other"] = other
    plain["spaces"][0]["surfaces"][1]["build_up"] = "other"
    visit = take_visit_file(data=plain, person=ada(), key=new_key())

    cut = page(signed_in(ben()), visit).context["sheet"]
    bought = page(signed_in(ben()), visit, "buy")

    boards = [row for row in cut.materials if row.form == "sheet"]
    assert len(boards) == (1 if supplied_by == "us" else 2)
    assert sum(len(row.walls) for row in boards) == 3
    assert all(row.stock for row in boards)
    rows = [one for one in bought.context["sheet"].bought if ":BB-FOAM" in one.key]
    assert [len(row.svgs) for row in rows] == [1] * len(boards)
    paper = signed_in(ben()).get(reverse("cut-list-paper", args=[visit.uid]))
    assert paper.content.startswith(b"%PDF")


def test_no_cut_is_drawn_beyond_what_is_drawn_of_a_roll() -> None:
    """Of this rest 2.3 m are drawn, and a cut runs along all that follows the first."""
    visit = a_shower()
    set_rack_rules(use="use", value=Fraction(0), stale_days=365, person=ada())
    keep("MB-SHEET", 2_777, 1_000)

    cut = page(signed_in(ben()), visit).context["sheet"]

    (part,) = [row for row in cut.materials if row.form == "roll"]
    (svg,) = [row.svg for row in part.stock]
    assert any("along the strip" in words for _letter, words in part.stock[0].cuts)
    rings = re.findall(r'class="o" points="([^"]+)"', svg)
    stock = max(float(x) for ring in rings for x in re.split("[ ,]", ring)[::2])
    ends = re.findall(r'class="e" d="M[\d.]+ [\d.]+L([\d.]+) ', svg)
    assert len(ends) > 2
    assert max(map(float, ends)) <= stock


def test_what_was_agreed_keeps_its_rack() -> None:
    visit = a_shower()
    kept = use_the_rack()
    offer = an_offer(visit)
    write_off(
        offcut=kept,
        reason="broken",
        on=timezone.localdate(),
        person=ada(),
        key=new_key(),
    )
    job = accepted(offer)

    text = text_of(signed_in(ben()), "job-cut-list", job.number)

    assert "2 new sheets and 1 kept piece" in text


def test_the_page_of_purchases_says_the_proof_beside_each_figure() -> None:
    sheet = page(signed_in(ben()), a_shower(), "buy").context["sheet"]

    said = {row.text: row.bound for row in sheet.bought}
    assert said["Foam board, wall"] == "3 sheets; 2 cannot be enough."
    assert said["Square edge profile"] == "2 lengths; 1 cannot be enough."
    assert said["Bonded sheet membrane"].startswith("1 roll is enough. Strips")

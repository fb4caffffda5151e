"""The owner's own figures on the price page: refused when wrong, never a dead page."""

from __future__ import annotations

import pytest
from django.urls import reverse
from moneyed import Money

from quotes.models import Overrule, Surface, Visit
from quotes.presenters.estimates import estimate_sheet
from quotes.presenters.hand_made import hand_made
from tests.service.office import (
    WALL,
    a_hand_line,
    a_space,
    a_stocked_business,
    a_visit,
    ada,
    faults,
    send,
    signed_in,
    text_of,
)
from tests.service.remembered import remembered

pytestmark = pytest.mark.django_db

TILE = "material:TL-WH-S"


@pytest.mark.parametrize(("system", "unit"), [("metric", "kg"), ("imperial", "lb")])
def test_needs_stand_in_the_units_their_packs_are_sold_in(
    system: str, unit: str
) -> None:
    visit = a_tiled_visit(system)
    visit.system = system

    sheet = estimate_sheet(visit, visit.held_on)

    needs = [row.need for row in sheet.bought]
    assert any(need.endswith(f" {unit}") for need in needs)
    other = {"kg": "lb", "lb": "kg"}[unit]
    assert not any(need.endswith(f" {other}") for need in needs)


def a_tiled_visit(system: str = "metric") -> Visit:
    remembered(f"a tiled wall, {system}", lambda: _tiled_visit(system))
    return Visit.objects.get()


def _tiled_visit(system: str) -> None:
    a_stocked_business(system)
    space, browser = a_space(), signed_in(ada())
    send(browser, "build-ups", space.visit.uid, template="kitchen-wall")
    send(browser, "add-surface", space.uid, **{**WALL, "build_up": "kitchen-wall"})


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"what": "packs", "value": "abc"}, "is no number of packs"),
        ({"what": "packs", "value": "-3"}, "is no number of packs"),
        ({"what": "packs", "value": "9" * 40}, "is no number of packs"),
        ({"what": "cost", "value": "12.345"}, "decimal"),
        ({"what": "cost", "value": "NaN"}, "NaN"),
        ({"what": "hours", "value": "3"}, "has no hours to overrule"),
        ({"line": "material:NOPE", "what": "cost", "value": "3"}, "no line"),
        ({"what": "cost", "value": "3", "reason": ""}, "required"),
    ],
    ids=str,
)
def test_a_figure_that_cannot_stand_is_refused_and_the_price_lives(
    change: dict[str, str], sentence: str
) -> None:
    visit, browser = a_tiled_visit(), signed_in(ada())
    entry = {"line": TILE, "reason": "agreed with the client", **change}

    response = send(browser, "choice", visit.uid, "overrule", expect=422, **entry)

    page = response.content.decode()
    assert sentence in page, faults(response)
    assert f'value="{entry["value"]}"' in page
    assert not Overrule.objects.exists()
    assert "Cannot be priced" not in text_of(browser, "price", visit.uid)


def test_the_form_shows_the_line_and_what_was_computed() -> None:
    visit, browser = a_tiled_visit(), signed_in(ada())

    page = browser.get(
        reverse("choice", args=[visit.uid, "overrule"]), {"line": TILE}
    ).content.decode()

    assert "Quantity, computed" in page
    assert "Packs" in page


def test_a_figure_whose_line_is_gone_stands_idle_and_closes_nothing() -> None:
    visit, browser = a_tiled_visit(), signed_in(ada())
    a_hand_line(visit, "60.00")
    send(browser, "choice", visit.uid, "overrule", line=TILE, what="cost",
         value="310.00", reason="the last job's price")  # fmt: skip
    assert "→ 310.00" in text_of(browser, "price", visit.uid)

    send(browser, "surface", Surface.objects.get().uid, remove="1")

    page = text_of(browser, "price", visit.uid)
    assert "Cannot be priced" not in page
    assert "Nothing is priced by this any more" in page
    visit.refresh_from_db()
    assert send(browser, "make-quote", visit.uid).status_code == 302
    assert visit.quotes.count() == 1


def test_a_line_typed_by_hand_shows_what_it_comes_to() -> None:
    visit, browser = a_tiled_visit(), signed_in(ada())
    send(browser, "choice", visit.uid, "hand-line", text="Cracked tiles replaced",
         quantity="5", unit_price="24.50", cost_class="labour")  # fmt: skip
    visit.refresh_from_db()

    [row] = hand_made(visit, estimate_sheet(visit, visit.held_on))

    assert row.text == "Cracked tiles replaced: 5 × 24.50"
    assert row.amount == Money("122.50", "GBP")


@pytest.mark.parametrize(
    ("system", "unit", "kept"), [("metric", "m", "12"), ("imperial", "ft", "2286/625")]
)
def test_an_operation_is_typed_in_the_business_s_unit_and_taken_back(
    system: str, unit: str, kept: str
) -> None:
    a_stocked_business(system)
    visit, browser = a_visit(system=system), signed_in(ada())
    place = reverse("choice", args=[visit.uid, "labour"])
    assert f"({unit})" in browser.get(place).content.decode()

    send(
        browser, "choice", visit.uid, "labour", operation="set_skirting", quantity="12"
    )

    visit.refresh_from_db()
    assert [row["quantity"] for row in visit.facts["labour"]] == [kept]
    assert f"12 {unit}" in text_of(browser, "price", visit.uid)
    stale = visit.version - 1
    send(browser, "remove-choice", visit.uid, "labour", 0, version=stale)
    visit.refresh_from_db()
    assert len(visit.facts["labour"]) == 1
    send(browser, "remove-choice", visit.uid, "labour", 0, version=visit.version)
    visit.refresh_from_db()
    assert visit.facts["labour"] == []


def test_the_cost_column_adds_up_to_its_sum() -> None:
    visit = a_tiled_visit()

    sheet = estimate_sheet(visit, visit.held_on)

    assert sheet.cost is not None
    assert sheet.cost.amount == sum(
        part.cost.amount for part in sheet.classes if part.cost is not None
    )

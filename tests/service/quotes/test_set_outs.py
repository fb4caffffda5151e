"""Set-outs on pages, the client's page, the frozen offer and paper."""

from __future__ import annotations

import io
from typing import Any

import pytest
from django.urls import reverse
from pypdf import PdfReader

from quotes.core import document
from quotes.models import Surface, Visit
from quotes.presenters.paper import estimate_drawings
from quotes.presenters.set_outs import plans_of, tile_sheets
from quotes.queries.estimating import catalogue_of, estimate_of
from tests.service.office import ben, new_key, signed_in, text_of
from tests.service.quotes.test_cut_list import a_shower

pytestmark = pytest.mark.django_db


def test_every_tiled_part_is_drawn_with_its_cuts_and_its_ledger() -> None:
    visit = a_shower()
    page = signed_in(ben()).get(reverse("cut-list", args=[visit.uid]))

    tiles = page.context["sheet"].tiles
    assert tiles
    for tile in tiles:
        for part in tile.places:
            assert part.svg in page.content.decode()
            assert 'class="cl"' in part.svg
            assert part.origin.startswith("Chalk lines: ")
        ledger = [int(count.replace("−", "-")) for _word, count in tile.ledger]
        word = "sheets" if "osaic" in tile.name else "tiles"
        assert tile.bought.endswith(f": {sum(ledger)} {word}")
        assert f" {word} if every offcut" in tile.verdict
        assert "cannot be enough" in tile.verdict


def test_the_cut_list_counts_every_piece_of_the_drawing() -> None:
    visit = a_shower()
    found = estimate_of(visit, on=visit.held_on)
    catalogue = catalogue_of(visit.held_on)

    for tile in tile_sheets(found.takeoff, catalogue, system="metric"):
        for part in tile.places:
            cut, offcut = (
                int(part.svg.split(word)[0].split()[-1])
                for word in (" cut, ", " cut from an offcut")
            )
            assert sum(row.count for row in part.cuts) == cut + offcut


def test_an_offer_carries_its_set_outs_at_a_named_scale() -> None:
    visit = a_shower()
    found = estimate_of(visit, on=visit.held_on)
    drawn = [
        one
        for one in estimate_drawings(found, catalogue_of(visit.held_on))
        if one.key.startswith("setout-")
    ]

    assert drawn
    assert all(one.title.startswith("Set-out: ") for one in drawn)
    assert all("Scale 1 : " in one.svg for one in drawn)
    assert isinstance(drawn[0], document.Drawing)


def test_set_outs_and_the_caution_about_dust_stand_on_the_paper() -> None:
    answer = signed_in(ben()).get(reverse("cut-list-paper", args=[a_shower().uid]))

    text = " ".join(
        page.extract_text() for page in PdfReader(io.BytesIO(answer.content)).pages
    )
    assert "Size, along the tile × across it" in text
    assert "dust" in text
    assert "All boxes of one lot" in text


def test_no_price_stands_beside_a_set_out() -> None:
    text = text_of(signed_in(ben()), "cut-list", a_shower().uid)

    assert "£" not in text
    assert "GBP" not in text


def a_wall(visit: Visit) -> Surface:
    return Surface.objects.get(space__visit=visit, name="Left wall")


def pick(surface: Surface, **values: str) -> Any:
    given = {"layer": "0", "request_key": new_key(), "version": str(surface.version)}
    return signed_in(ben()).post(
        reverse("set-outs", args=[surface.uid]), {**given, **values}
    )


def test_the_setter_picks_a_set_out_and_the_takeoff_follows_it() -> None:
    wall = a_wall(a_shower())
    page = signed_in(ben()).get(reverse("set-outs", args=[wall.uid]))
    (part,) = page.context["sheet"].parts
    assert [row.aim for row in part.rows if row.chosen] == ["symmetrical"]
    least = next(row for row in part.rows if row.aim == "least_tile")

    assert pick(wall, aim="least_tile").status_code == 302

    wall.refresh_from_db()
    assert wall.facts["pattern"]["origin"] == "least_tile"
    page = signed_in(ben()).get(reverse("set-outs", args=[wall.uid]))
    (part,) = page.context["sheet"].parts
    assert [row.aim for row in part.rows if row.chosen] == ["least_tile"]
    found = estimate_of(wall.space.visit, on=wall.space.visit.held_on)
    cuts = [
        tally.cut_count
        for need in found.takeoff.needs
        for plan in plans_of(need)
        for place, tally in zip(plan.places, plan.tallies, strict=True)
        if place.endswith("Left wall")
    ]
    assert cuts == [least.cuts]


def test_the_setters_own_chalk_lines_are_kept_as_typed() -> None:
    wall = a_wall(a_shower())

    assert pick(wall, aim="own", across="120", up="-40").status_code == 302

    wall.refresh_from_db()
    assert wall.facts["pattern"]["origin"] == ["120", "-40"]


REFUSED = (
    ({"aim": "prettiest"}, "Choose one of the set-outs."),
    ({"aim": "own", "across": "", "up": "5"}, "from the left side"),
    ({"aim": "own", "across": "wide", "up": "5"}, "wide"),
    ({"aim": "least_tile", "layer": "9"}, "not there any more"),
    ({"aim": "least_tile", "version": "77"}, "changed on another screen"),
)


def test_what_cannot_be_kept_is_said_and_loses_nothing() -> None:
    wall = a_wall(a_shower())

    for values, sentence in REFUSED:
        answer = pick(wall, **values)
        text = answer.content.decode()
        assert answer.status_code == 422
        assert sentence in text
        if values.get("across"):
            assert 'value="wide"' in text

    wall.refresh_from_db()
    assert "pattern" not in wall.facts


def test_the_same_pick_twice_is_one_change() -> None:
    wall = a_wall(a_shower())
    key = new_key()

    pick(wall, aim="least_tile", request_key=key)
    pick(wall, aim="least_tile", request_key=key)

    version = wall.version
    wall.refresh_from_db()
    assert wall.version == version + 1


def a_wall_of(visit: Visit) -> Surface:
    return Surface.objects.filter(space__visit=visit, role="wall").first()  # type: ignore[return-value]


def through_form(visit: Visit, **changes: Any) -> dict[str, Any]:
    """Return what the page's form for rows that run through would post."""
    surface = a_wall_of(visit)
    page = signed_in(ben()).get(reverse("set-outs", args=[surface.uid]))
    (one, *_rest) = page.context["sheet"].through
    return {
        "aim": "through",
        "seen": [f"{uid}:{version}" for uid, version in one.versions],
        "request_key": new_key(),
        **changes,
    }


def test_rows_that_run_through_are_kept_on_every_wall_at_once() -> None:
    visit = a_shower()
    form = through_form(visit)
    browser = signed_in(ben())
    where = reverse("set-outs", args=[a_wall_of(visit).uid])

    answer = browser.post(where, form)
    again = browser.post(where, form)

    assert (answer.status_code, again.status_code) == (302, 302)
    walls = Surface.objects.filter(space__visit=visit, role="wall")
    kept = [row.facts["pattern"]["origin"] for row in walls]
    assert len(kept) == 3
    assert len({up for _across, up in kept}) == 1
    assert {row.version for row in walls} == {2}
    (one, *_rest) = browser.get(where).context["sheet"].through
    assert one.stands
    assert all(cost is not None and cost.amount > 0 for *_rest, cost in one.rows)
    assert "This stands now." in browser.get(where).content.decode()


def test_a_wall_changed_meanwhile_keeps_every_wall_as_it_was() -> None:
    visit = a_shower()
    form = through_form(visit)
    row = a_wall_of(visit)
    row.version += 1
    row.save()

    answer = signed_in(ben()).post(reverse("set-outs", args=[row.uid]), form)

    assert answer.status_code == 422
    assert "changed on another screen" in answer.content.decode()
    walls = Surface.objects.filter(space__visit=visit, role="wall")
    assert not any("pattern" in wall.facts for wall in walls)


@pytest.mark.parametrize(
    "changes", [{"seen": ["nobody:1"]}, {"seen": ["x"]}, {"seen": []}]
)
def test_a_form_that_fits_nothing_is_refused(changes: dict[str, Any]) -> None:
    visit = a_shower()

    answer = signed_in(ben()).post(
        reverse("set-outs", args=[a_wall_of(visit).uid]), through_form(visit, **changes)
    )

    assert answer.status_code == 422


def test_the_page_says_where_an_opening_had_better_stand() -> None:
    visit = a_shower()
    pages = [
        text_of(signed_in(ben()), "set-outs", wall.uid)
        for wall in Surface.objects.filter(space__visit=visit, role="wall")
    ]

    assert any("Before framing: move the opening of" in page for page in pages)

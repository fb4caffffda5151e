"""Set-outs on pages, the client's page, the frozen offer and paper."""

from __future__ import annotations

import io

import pytest
from django.urls import reverse
from pypdf import PdfReader

from quotes.core import document
from quotes.presenters.paper import estimate_drawings
from quotes.presenters.set_outs import tile_sheets
from quotes.queries.estimating import catalogue_of, estimate_of
from tests.service.office import ben, signed_in, text_of
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
        assert tile.bought.endswith(f": {sum(ledger)} tiles")
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

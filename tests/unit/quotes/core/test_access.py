"""Boards, pans and tiles that do not pass the way in or do not turn are said."""

from __future__ import annotations

from datetime import date

import pytest

from materials.core.pricelist import catalogue_on
from quotes.core.takeoff import take_off
from quotes.core.visit_file import read_visit
from tests.builders import a_shower


def said(**access: str) -> dict[str, set[str]]:
    """Return the sentences by code for a shower behind such an opening."""
    document = a_shower()
    document["site"]["access"] = access
    visit = read_visit(document)
    assert visit.price_list is not None
    found: dict[str, set[str]] = {}
    catalogue = catalogue_on(visit.price_list, date(2026, 4, 1))
    for caution in take_off(visit, catalogue).cautions:
        found.setdefault(caution.code, set()).add(caution.sentence)
    return found


def test_a_board_too_wide_for_the_way_in_is_to_be_split_or_folded() -> None:
    (sentence,) = said(width="24", height="34")["does_not_pass"]

    assert sentence.startswith("Keelback board ½ is 3′\u00a00″")
    assert "splits it: no panel is wider than 2′\u00a010″" in sentence


@pytest.mark.parametrize(
    ("access", "passes"),
    [
        ({"width": "24", "height": "36"}, True),
        ({"width": "36", "height": "24"}, True),
        ({"width": "24", "height": "35 15/16"}, False),
        ({"width": "24"}, True),
        ({}, True),
    ],
)
def test_a_board_passes_on_its_edge_up_to_the_opening(
    access: dict[str, str], passes: bool
) -> None:
    assert ("does_not_pass" not in said(**access)) == passes


def test_a_board_turns_where_one_side_fits_the_space() -> None:
    assert "does_not_turn" in said(turning="30")
    assert "does_not_turn" not in said(turning="36")

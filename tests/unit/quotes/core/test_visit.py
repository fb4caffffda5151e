"""The records of a visit begin plain."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from quotes.core.visit import EdgeNote, Site, Slope, Visit


def test_a_visit_begins_empty_and_uses_what_is_stored() -> None:
    visit = Visit(
        id="v", title="T", currency="GBP", measured_on=date(2026, 3, 1), system="metric"
    )

    assert (visit.spaces, visit.rates, visit.price_list) == ((), None, None)
    assert visit.terms.holds_days == 30


def test_an_edge_is_a_wall_unless_it_says_otherwise() -> None:
    assert EdgeNote() == EdgeNote(kind="wall", meets="", runs="")


def test_a_slope_is_a_quarter_to_half_an_inch_in_a_foot() -> None:
    assert (Slope().least, Slope().most) == (Fraction(1, 48), Fraction(1, 24))


def test_nothing_is_known_of_a_site_before_it_is_seen() -> None:
    assert (Site().built, Site().access_width) == (None, None)

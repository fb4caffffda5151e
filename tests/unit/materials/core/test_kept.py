"""What of a kept piece matters, how much of its material it is, what it carries."""

from __future__ import annotations

from fractions import Fraction

import pytest
from moneyed import Money

from materials.core.errors import OutOfRange, Refusal
from materials.core.kept import (
    FLAT,
    LINE,
    ROLL,
    content_of,
    cost_carried,
    form_of,
    whole_size,
)
from materials.core.lengths import NOTHING, Length

mm = Length.mm
BOARD = {"width": mm(1200), "length": mm(2400)}
SHEET = {"form": "sheet", "roll_width": mm(1000)}
BAND = {"form": "band", "roll_width": mm(120)}
TRIM = {"length": mm(2500), "height": mm(10)}


def test_trims_and_bands_are_lengths_and_membrane_is_a_rest_of_roll() -> None:
    assert form_of("profile", TRIM) == form_of("membrane", BAND) == LINE
    assert form_of("membrane", SHEET) == ROLL
    assert form_of("backer_board", BOARD) == form_of("tile", {}) == FLAT


def test_a_width_left_empty_is_that_of_the_sheet() -> None:
    assert whole_size("membrane", SHEET, NOTHING, mm(3000)) == (mm(1000), mm(3000))
    assert whole_size("membrane", SHEET, mm(400), mm(900)) == (mm(400), mm(900))
    assert whole_size("profile", TRIM, NOTHING, mm(1250)) == (mm(10), mm(1250))
    assert whole_size("profile", {}, NOTHING, mm(1250)) == (mm(1), mm(1250))


@pytest.mark.parametrize(
    ("kind", "facts", "width", "length", "field"),
    [
        ("backer_board", BOARD, NOTHING, mm(900), "width"),
        ("membrane", {"form": "sheet"}, NOTHING, mm(900), "width"),
        ("profile", TRIM, mm(10), NOTHING, "height"),
    ],
)
def test_a_size_that_matters_is_asked_for(
    kind: str, facts: dict[str, object], width: Length, length: Length, field: str
) -> None:
    with pytest.raises(OutOfRange) as refused:
        whole_size(kind, facts, width, length)
    assert refused.value.field == field


def test_a_liquid_is_not_kept() -> None:
    with pytest.raises(Refusal, match="liquid"):
        whole_size("membrane", {"form": "liquid"}, mm(1), mm(1))


def test_how_much_of_its_material_a_piece_is() -> None:
    """By hand: half a sheet, three metres of roll, half a bar, six metres of band."""
    assert content_of("backer_board", BOARD, mm(600), mm(2400)) == Fraction(1, 2)
    assert content_of("membrane", SHEET, mm(1000), mm(3000)) == 3
    assert content_of("membrane", SHEET, mm(500), mm(3000)) == Fraction(3, 2)
    assert content_of("membrane", BAND, mm(120), mm(6000)) == 6
    assert content_of("profile", TRIM, mm(10), mm(1250)) == Fraction(1, 2)
    for kind in ("tile", "membrane", "profile", "foam_pan", "backer_board"):
        assert content_of(kind, {}, mm(10), mm(10)) is None


def test_a_piece_carries_its_share_and_never_more_than_all() -> None:
    """Three of 5 m bought for 88.00: 52.80; a third of 10.00 is rounded half up."""

    def carried(cost: str, bought: int, content: Fraction | None) -> Money:
        return cost_carried(Money(cost, "GBP"), Fraction(bought), content)

    assert carried("88.00", 5, Fraction(3)) == Money("52.80", "GBP")
    assert carried("10.00", 1, Fraction(1, 3)) == Money("3.33", "GBP")
    assert carried("10.00", 1, Fraction(7)) == Money("10.00", "GBP")
    assert carried("10.00", 0, Fraction(1)) == Money("0.00", "GBP")
    assert carried("10.00", 1, None) == Money("0.00", "GBP")

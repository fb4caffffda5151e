from __future__ import annotations

from fractions import Fraction

import pytest

from materials.core import amounts
from materials.core.cutting.pan_heights import Frame
from materials.core.cutting.pan_outlines import Region
from materials.core.cutting.pan_pieces import Lay, pan_corners, piece_of
from tests.pan_cases import a_pan, box, inches, outline, ticks


def a_lay(*keep: tuple[object, ...], along: tuple[int, int] = (1, 0)) -> Lay:
    region: Region = keep  # type: ignore[assignment]
    return Lay(
        pan=a_pan(width=inches(40), depth=inches(40)),
        frame=Frame(origin=(0, 0), along=along),
        keep=region,
    )


def sides_of(lay: Lay) -> dict[str, Fraction]:
    return {trim.side: trim.amount / ticks(1) for trim in lay.trims}


def test_an_uncut_pan_has_no_trims() -> None:
    assert sides_of(a_lay(box(0, 0, 40, 40))) == {}


def test_each_side_says_how_much_comes_off() -> None:
    assert sides_of(a_lay(box(3, 4, 38, 30))) == {
        "drain": 4,
        "right": 2,
        "far": 10,
        "left": 3,
    }


def test_a_notch_counts_for_both_sides_it_faces() -> None:
    notch = outline((0, 0), (40, 0), (40, 20), (30, 20), (30, 40), (0, 40))

    assert sides_of(a_lay(notch)) == {"right": 10, "far": 20}


def test_a_slanting_cut_counts_for_the_side_it_faces_most() -> None:
    slant = outline((0, 0), (40, 0), (37, 40), (0, 40))

    assert sides_of(a_lay(slant)) == {"right": 3}


def test_a_hole_cuts_no_side() -> None:
    assert sides_of(a_lay(box(0, 0, 40, 40), box(9, 9, 12, 12)[::-1])) == {}


@pytest.mark.parametrize(
    ("along", "lower_left"),
    [((1, 0), (0, 0)), ((0, 1), (-40, 0)), ((-1, 0), (-40, -40)), ((0, -1), (0, -40))],
)
def test_a_turned_pan_lies_by_its_lower_left_corner(
    along: tuple[int, int], lower_left: tuple[int, int]
) -> None:
    piece = piece_of(a_lay(box(0, 0, 40, 40), along=along), leftover=None)

    assert piece.at == tuple(ticks(1) * one for one in lower_left)
    assert piece.at in pan_corners(a_lay(box(0, 0, 40, 40), along=along))


def test_a_quarter_used_carries_three_quarters_of_the_price_as_trim() -> None:
    piece = piece_of(a_lay(box(0, 0, 20, 20)), leftover=None)

    assert piece.trimmed_share == Fraction(3, 4)
    assert piece.trimmed_money == amounts.money("289.80", "USD")


def test_money_rounds_half_up_once_for_a_pan() -> None:
    # 386.40 × 1/64 = 6.0375.
    piece = piece_of(a_lay(box(0, 0, 40, "39 3/8")), leftover=None)

    assert piece.trimmed_money == amounts.money("6.04", "USD")


def test_the_rack_takes_the_offcuts_that_are_large_enough() -> None:
    lay = a_lay(box(0, 0, 30, 25))

    large = piece_of(lay, leftover=(inches(12), inches(30)))
    small = piece_of(lay, leftover=(inches(10), inches(12)))
    none = piece_of(lay, leftover=(inches(16), inches(16)))

    assert large.racked == ticks(40) * ticks(15)
    assert small.racked == ticks(40) * ticks(15) + ticks(10) * ticks(25)
    assert none.racked == 0
    assert small.trimmed_money == amounts.money("0", "USD")
    assert none.rack_money == amounts.money("0", "USD")

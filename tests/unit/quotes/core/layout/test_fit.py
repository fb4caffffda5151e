"""Pieces that share a tile where they lie."""

from __future__ import annotations

from unittest import mock

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotes.core.geometry import TickRing
from quotes.core.layout.fit import Fit, turned_ring
from quotes.core.layout.records import box
from quotes.core.pattern import oblong
from quotes.core.patterns.hexagon import hexagon


def fit(*rings: TickRing, kerf: int = 0, turns: tuple[int, ...] = (0, 180)) -> Fit:
    return Fit(oblong("tile", 3000, 2000), rings, kerf=kerf, turns=turns)


LEFT = box(0, 0, 1400, 2000)


@pytest.mark.parametrize(("kerf", "agrees"), [(0, True), (200, True), (205, False)])
def test_a_piece_agrees_with_itself_turned_when_a_kerf_is_left(
    kerf: int, agrees: bool
) -> None:
    pair = fit(LEFT, kerf=kerf)

    assert pair.agrees((0, 0), (0, 1)) == agrees
    assert not pair.agrees((0, 0), (0, 0))


def test_agreement_depends_on_the_difference_of_turns_alone() -> None:
    three = fit(LEFT, box(0, 0, 1000, 900), ((2900, 0), (3000, 0), (3000, 1900)))
    turns = range(2)

    for first in range(3):
        for second in range(3):
            for a in turns:
                for b in turns:
                    assert three.agrees((first, a), (second, b)) == three.agrees(
                        (first, 0), (second, (b - a) % 2)
                    )
                    assert three.agrees((first, a), (second, b)) == three.agrees(
                        (second, b), (first, a)
                    )


def test_two_halves_of_a_diagonal_cut_share_a_tile() -> None:
    lower = ((0, 0), (3000, 0), (0, 2000))

    assert fit(lower).agrees((0, 0), (0, 1))
    assert not fit(lower, kerf=50).agrees((0, 0), (0, 1))


def test_a_notch_is_not_recovered() -> None:
    ell = ((0, 0), (3000, 0), (3000, 500), (500, 500), (500, 2000), (0, 2000))
    small = box(2500, 1500, 500, 500)

    assert not fit(ell, box(900, 800, 400, 400)).agrees((0, 0), (1, 0))
    assert fit(ell, small).agrees((0, 0), (1, 0))


def test_a_pinwheel_of_four_agrees_in_pairs_but_no_straight_cut_parts_it() -> None:
    wheel = fit(
        box(0, 0, 1990, 890), box(2000, 0, 1000, 1090), box(1010, 1100, 1990, 900),
        box(0, 900, 1000, 1100),
        turns=(0,),
    )  # fmt: skip
    all_four = [(index, 0) for index in range(4)]

    assert wheel.agrees((0, 0), (1, 0))
    assert wheel.agrees((0, 0), (2, 0))
    assert wheel.is_parted(all_four[:3])
    assert not wheel.is_parted(all_four)


def test_hexagons_turn_by_sixths() -> None:
    item = hexagon("tile", 2000)
    side = ((0, 0), (1000, -577), (1000, 577))
    six = Fit(item, [side], kerf=0, turns=item.turns)

    assert six.agrees((0, 0), (0, 3))
    assert not six.agrees((0, 0), (0, 0))


def test_a_turn_by_nothing_keeps_the_very_outline() -> None:
    item = oblong("tile", 3000, 2000)

    assert turned_ring(item, LEFT, 0) is LEFT
    assert turned_ring(item, LEFT, 180) == (
        (3000, 2000),
        (1600, 2000),
        (1600, 0),
        (3000, 0),
    )


@given(data=st.data(), kerf=st.sampled_from([0, 100, 400]))
def test_a_few_boxes_looked_at_one_by_one_agree_as_in_arrays(
    data: st.DataObject, kerf: int
) -> None:
    whole = st.integers(min_value=0, max_value=29)
    rings = []
    for _ in range(data.draw(st.integers(min_value=1, max_value=5))):
        x, y = 100 * data.draw(whole), 100 * (data.draw(whole) % 20)
        wide = data.draw(st.integers(min_value=1, max_value=30 - x // 100))
        high = data.draw(st.integers(min_value=1, max_value=20 - y // 100))
        rings.append(box(x, y, 100 * wide, 100 * high))
    quick = fit(*rings, kerf=kerf)
    with mock.patch("quotes.core.layout.fit._FEW", 0):
        slow = fit(*rings, kerf=kerf).masks

    assert quick.masks == slow

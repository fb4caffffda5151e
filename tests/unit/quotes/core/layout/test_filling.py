"""The largest piece first, its tile filled up with the next that fit."""

from __future__ import annotations

from quotes.core.layout.filling import largest_first
from quotes.core.layout.fit import Fit
from quotes.core.layout.records import box
from quotes.core.pattern import oblong

TILE = oblong("tile", 3000, 2000)


def test_a_set_that_can_be_repeated_is_taken_at_once() -> None:
    fit = Fit(
        TILE, [box(0, 0, 1800, 2000), box(0, 0, 900, 2000)], kerf=0, turns=(0, 180)
    )

    assert largest_first(fit, (3, 5)) == [
        (((0, 0), (1, 1)), 3),
        (((1, 0), (1, 1)), 1),
    ]


def test_a_piece_left_over_takes_a_tile_of_its_own() -> None:
    fit = Fit(TILE, [box(0, 0, 1800, 2000)], kerf=0, turns=(0, 180))

    assert largest_first(fit, (3,)) == [(((0, 0),), 3)]


def test_no_more_than_four_come_from_one_tile() -> None:
    strips = [box(0, 0, 3000, 300), box(0, 1700, 3000, 300)]
    middle = [box(0, y, 3000, 300) for y in (350, 700, 1050)]
    fit = Fit(TILE, strips + middle, kerf=0, turns=(0,))

    assert [len(tile) for tile, _ in largest_first(fit, (1,) * 5)] == [4, 1]

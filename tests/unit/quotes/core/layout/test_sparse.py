"""Positions that a side meets, and the rest counted by rows."""

from __future__ import annotations

from fractions import Fraction

import numpy as np

from materials.core.lengths import MM
from quotes.core.layout.grid import grid_of
from quotes.core.layout.records import Rules, rectangle
from quotes.core.layout.sparse import full_counts, meetings, spread
from tests.pattern_proof import built

GRID = grid_of(built("stack", "0", length=100, width=100), Fraction(0))


def sides(wide: int, high: int) -> np.ndarray:
    return rectangle(wide * MM, high * MM).region(Rules()).sides


def at(x: int, y: int) -> np.ndarray:
    return np.array([[x * MM, y * MM]], dtype=np.float64)


def test_a_wall_on_the_edge_of_a_tile_meets_nothing() -> None:
    met = meetings(GRID, sides(1000, 500), at(0, 0), 96)

    assert len(met.face) == 0
    assert full_counts(GRID, met, 1).tolist() == [[50]]


def test_each_position_along_the_walls_is_met_once() -> None:
    met = meetings(GRID, sides(1000, 500), at(50, 50), 96)

    assert len({*zip(met.i.tolist(), met.j.tolist(), strict=True)}) == len(met.i) == 30
    assert sorted(met.sides.tolist()) == [1] * 26 + [2] * 4
    assert met.is_cut.all()
    assert full_counts(GRID, met, 1).tolist() == [[36]]


def test_what_is_within_the_tolerance_is_met_but_not_cut() -> None:
    met = meetings(GRID, sides(1000, 500), np.array([[48.0, 0.0]]), 96)

    assert len(met.face) == 10
    assert not met.is_cut.any()
    assert full_counts(GRID, met, 1).tolist() == [[50]]


def test_spreading_counts_gives_owner_and_rank() -> None:
    owner, rank = spread(np.array([2, 0, 3]))

    assert owner.tolist() == [0, 0, 2, 2, 2]
    assert rank.tolist() == [0, 1, 0, 1, 2]

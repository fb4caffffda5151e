"""The door to the geometry library: rings, regions and their exact areas."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from materials.core.errors import BadShape
from quotes.core.geometry import (
    TickRing,
    check_holes,
    check_ring,
    convex_hull,
    cosine_sine,
    distances,
    doubled_area,
    nearest_tick,
    outline_area,
    parts_inside,
    region,
    surface_area,
    turned,
)
from quotes.core.layout.records import box

SQUARE = box(0, 0, 1000, 1000)


@pytest.mark.parametrize(
    ("ring", "word"),
    [
        (((0, 0), (1, 0)), "corners"),
        (((0, 0), (9, 9), (9, 0), (0, 7)), "crosses"),
        (((0, 0), (9, 0), (18, 0)), "no area"),
        (((0, 0), (9, 0), (9, 9), (0, 0)), "repeats"),
        (((0, 0), (9, 0), (9, 0), (9, 9)), "repeats"),
        (((0, 0), (9, 0), (9, 9), (4, 0), (0, 9)), "touches itself"),
    ],
)
def test_a_ring_that_is_no_outline_is_refused(ring: TickRing, word: str) -> None:
    with pytest.raises(BadShape, match=word) as refused:
        check_ring(ring, field="outer")

    assert refused.value.field == "outer"


def test_a_hole_outside_is_refused_and_one_at_the_edge_is_not() -> None:
    check_holes(SQUARE, [box(0, 0, 100, 900)], field="holes")
    with pytest.raises(BadShape, match=r"holes\[0\] reaches outside"):
        check_holes(SQUARE, [box(-1, 0, 100, 900)], field="holes")


def test_holes_may_touch_but_not_overlap() -> None:
    check_holes(SQUARE, [box(0, 0, 100, 100), box(100, 0, 100, 100)], field="holes")
    with pytest.raises(BadShape, match="overlap"):
        check_holes(SQUARE, [box(0, 0, 100, 100), box(99, 0, 100, 100)], field="holes")


def test_holes_that_leave_nothing_are_refused() -> None:
    with pytest.raises(BadShape, match="nothing to tile"):
        check_holes(SQUARE, [SQUARE], field="holes")


def test_areas_are_exact_to_half_a_square_tick() -> None:
    triangle = ((0, 0), (3, 0), (0, 1))

    assert doubled_area(triangle) == 3
    assert doubled_area(triangle[::-1]) == -3
    assert surface_area(SQUARE, [triangle]) == 1_000_000 - Fraction(3, 2)
    assert outline_area(SQUARE) == 1_000_000


def test_a_gap_moves_the_outline_in_and_the_holes_out_with_mitred_corners() -> None:
    tiled = region(SQUARE, (box(400, 400, 100, 100),), gap=10)

    assert tiled.area == 980**2 - 120**2
    assert tiled.bounds == (10, 10, 990, 990)
    assert len(tiled.sides) == 8


def test_a_door_at_the_floor_becomes_part_of_the_outline() -> None:
    tiled = region(SQUARE, (box(400, 0, 100, 700),), gap=0)

    assert tiled.area == 1_000_000 - 70_000
    assert len(tiled.sides) == 8


def test_sides_keep_the_region_on_their_left_and_skip_straight_corners() -> None:
    ring = ((0, 0), (0, 1000), (1000, 1000), (1000, 500), (1000, 0))
    sides = region(ring, (), gap=0).sides

    doubled = (sides[:, 0] * sides[:, 3] - sides[:, 2] * sides[:, 1]).sum()
    assert len(sides) == 4
    assert doubled == 2_000_000


def test_parts_are_told_apart_by_their_outline() -> None:
    tiled = region(box(0, 0, 300, 100), (box(120, 0, 60, 100),), gap=0)
    outlines = np.array([[(100, 0), (200, 0), (200, 50), (100, 50)]], dtype=np.float64)

    parts = parts_inside(outlines, tiled)

    assert parts.owner.tolist() == [0, 0]
    assert sorted(parts.area.tolist()) == [1000, 1000]
    assert all(len(corners) == 4 for corners in parts.corners)


def test_quarter_turns_are_exact() -> None:
    assert [cosine_sine(turn) for turn in (0, 90, 180, 270, 360, -90)] == [
        (1, 0), (0, 1), (-1, 0), (0, -1), (1, 0), (0, -1),
    ]  # fmt: skip
    assert turned((5, 2), 90) == (-2, 5)
    x, y = turned((1000, 0), 60)
    assert (nearest_tick(x), nearest_tick(y)) == (500, 866)


def test_a_hull_drops_notches_and_straight_corners() -> None:
    ell = ((0, 0), (10, 0), (20, 0), (20, 5), (5, 5), (5, 20), (0, 20))

    assert set(convex_hull(ell)) == {(0, 0), (20, 0), (20, 5), (5, 20), (0, 20)}
    assert doubled_area(convex_hull(ell)) > 0


def test_distances_go_pair_by_pair() -> None:
    near = distances([SQUARE, SQUARE], [box(1003, 1004, 9, 9), box(500, 500, 9, 9)])

    assert near.tolist() == [5, 0]

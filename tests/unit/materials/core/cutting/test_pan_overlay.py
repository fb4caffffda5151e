from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon, box
from shapely.ops import unary_union

from materials.core.cutting.pan_outlines import (
    hole_rings,
    moment_y,
    outer_rings,
    region_area,
    signed_area,
)
from materials.core.cutting.pan_overlay import common, within, without
from tests.cases import some_cases

SQUARE = ((0, 0), (10, 0), (10, 10), (0, 10))
ELL = ((0, 0), (10, 0), (10, 4), (6, 4), (6, 9), (0, 9))


def a_box(x: int, y: int, w: int, d: int) -> tuple[tuple[int, int], ...]:
    return ((x, y), (x + w, y), (x + w, y + d), (x, y + d))


boxes = st.builds(
    a_box,
    st.integers(-3, 11),
    st.integers(-3, 11),
    st.integers(1, 8),
    st.integers(1, 8),
)


def test_an_ell_has_its_area_and_its_first_moment() -> None:
    region = without(ELL, [])

    assert region_area(region) == 40 + 30
    assert moment_y(region) == 40 * 2 + 30 * Fraction(13, 2)


def test_a_hole_is_taken_out_and_runs_clockwise() -> None:
    region = without(SQUARE, [a_box(2, 2, 3, 3)])

    assert len(outer_rings(region)) == len(hole_rings(region)) == 1
    assert region_area(region) == 91


def test_a_bar_across_leaves_two_parts_the_largest_first() -> None:
    region = without(SQUARE, [a_box(-1, 3, 12, 2)])

    assert [signed_area(ring) for ring in region] == [50, 30]


def test_parts_that_touch_at_a_corner_stay_apart() -> None:
    region = without(SQUARE, [a_box(0, 0, 4, 4), a_box(4, 4, 6, 6)])

    assert [signed_area(ring) for ring in region] == [24, 24]


def test_nothing_is_left_of_a_ring_that_is_covered() -> None:
    assert without(SQUARE, [a_box(-1, -1, 12, 12)]) == ()


def test_a_slanting_side_is_cut_at_an_exact_fraction() -> None:
    triangle = ((0, 0), (9, 0), (0, 7))

    region = within((triangle,), (0, 0, 9, 2))

    assert (Fraction(9) * 5 / 7, 2) in region[0]
    assert region_area(region) == Fraction(63, 2) - Fraction(1, 2) * 5 * 9 * 5 / 7


@some_cases
@given(st.lists(boxes, max_size=4), st.booleans())
def test_what_is_left_out_agrees_with_another_library(
    holes: list[tuple[tuple[int, int], ...]], ell: bool
) -> None:
    ring = ELL if ell else SQUARE

    region = without(ring, holes)

    expected = Polygon(ring).difference(unary_union([Polygon(one) for one in holes]))
    assert float(region_area(region)) == pytest.approx(expected.area, abs=1e-9)


@some_cases
@given(boxes, boxes)
def test_kept_and_left_out_make_the_whole(
    first: tuple[tuple[int, int], ...], second: tuple[tuple[int, int], ...]
) -> None:
    whole_area = signed_area(first)

    left = region_area(without(first, [second]))
    shared = region_area(common(first, second))

    assert left + shared == whole_area


@some_cases
@given(boxes, st.booleans())
def test_what_lies_in_a_rectangle_agrees_with_another_library(
    frame: tuple[tuple[int, int], ...], ell: bool
) -> None:
    ring = ELL if ell else SQUARE
    (left, low), _, (right, high), _ = frame

    region = within((ring,), (left, low, right, high))

    expected = Polygon(ring).intersection(box(left, low, right, high))
    assert float(region_area(region)) == pytest.approx(expected.area, abs=1e-9)

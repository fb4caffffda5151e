from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.core.cutting.pan_outlines import (
    bounds,
    counter_clockwise,
    cropped,
    is_convex,
    is_inside,
    root,
    signed_area,
    split_bounds,
    square_distance,
    tidy,
    whole,
)
from materials.core.errors import BadShape
from tests.cases import some_cases

SQUARE = ((0, 0), (10, 0), (10, 10), (0, 10))
ELL = ((0, 0), (10, 0), (10, 4), (6, 4), (6, 9), (0, 9))


@some_cases
@given(st.fractions(0, 10**6))
def test_a_root_is_exact_when_rational_and_never_too_large(value: Fraction) -> None:
    assert root(value * value) == value
    assert root(value) ** 2 <= value
    assert (root(value) + Fraction(1, 2**31)) ** 2 > value


@pytest.mark.parametrize(
    ("points", "sentence"),
    [
        (((0, 0), (1, 0)), "at least three corners"),
        (((0, 0), (4, 0), (0, 0)), "one corner twice"),
        (((0, 0), (4, 4), (4, 0), (0, 4)), "crosses itself"),
        (((0, 0), (6, 4), (4, 0), (0, 4)), "crosses itself"),
        (((0, 0), (8, 0), (4, 0)), "crosses itself"),
        (((0, 0), (8, 0), (8, 4), (4, 0), (0, 4)), "crosses itself"),
    ],
)
def test_an_outline_that_is_none_is_refused(
    points: tuple[tuple[int, int], ...], sentence: str
) -> None:
    with pytest.raises(BadShape, match=sentence):
        counter_clockwise(points, name="The outline")


def test_either_direction_gives_the_same_ring_and_no_corner_is_lost() -> None:
    straight = ((0, 0), (5, 0), (10, 0), (10, 10), (0, 10))

    ring = counter_clockwise(straight[::-1], name="The outline")

    assert set(ring) == set(straight)
    assert signed_area(ring) == 100


def test_a_point_is_inside_or_outside() -> None:
    assert is_inside((1, 1), ELL)
    assert not is_inside((8, 6), ELL)


def test_the_distance_to_a_segment_ends_at_its_ends() -> None:
    assert square_distance((5, 3), ((0, 0), (10, 0))) == 9
    assert square_distance((13, 4), ((0, 0), (10, 0))) == 25
    assert square_distance((3, 4), ((0, 0), (0, 0))) == 25


def test_bounds_and_whole_ticks() -> None:
    assert bounds((ELL,)) == (0, 0, 10, 9)
    assert [whole(Fraction(n, 2)) for n in (-3, -1, 1, 3)] == [-2, -1, 1, 2]


def test_two_halves_have_their_bounds_without_being_built() -> None:
    below, above = split_bounds((ELL,), 1, 6)

    assert (below, above) == ((0, 0, 10, 6), (0, 6, 6, 9))
    left, right = split_bounds((((0, 0), (8, 0), (0, 8)),), 0, 2)
    assert (left, right) == ((0, 0, 2, 8), (2, 0, 8, 6))


def test_a_corner_that_only_touches_the_line_is_not_in_the_other_half() -> None:
    tee = ((0, 0), (4, 0), (4, 3), (9, 3), (9, 7), (0, 7))

    left, right = split_bounds((tee,), 0, 4)

    assert (left, right) == ((0, 0, 4, 7), (4, 3, 9, 7))


def test_a_convex_ring_is_cropped_to_a_rectangle() -> None:
    triangle = ((0, 0), (8, 0), (0, 8))

    assert is_convex(triangle)
    assert not is_convex(ELL)
    assert set(cropped(triangle, (2, 0, 9, 9))[0]) == {(2, 0), (8, 0), (2, 6)}
    assert cropped(triangle, (9, 9, 12, 12)) == ()


def test_a_whole_fraction_becomes_an_int() -> None:
    assert type(tidy(Fraction(4, 2))) is int
    assert tidy(Fraction(1, 3)) == Fraction(1, 3)

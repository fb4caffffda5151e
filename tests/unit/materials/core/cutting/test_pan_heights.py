from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.core.cutting.pan_heights import Frame, PanBowl, Plane, RimBowl
from tests.cases import some_cases


@pytest.mark.parametrize(
    ("along", "turn", "uphill"),
    [
        ((7, 0), 0, (0, 1)),
        ((0, 7), 90, (-1, 0)),
        ((-7, 0), 180, (0, -1)),
        ((0, -7), 270, (1, 0)),
    ],
)
def test_a_frame_looks_uphill_to_the_left_of_its_side(
    along: tuple[int, int], turn: int, uphill: tuple[int, int]
) -> None:
    frame = Frame(origin=(0, 0), along=along)

    assert frame.turn == turn
    assert frame.outside((0, 1)) == uphill


@some_cases
@given(
    st.tuples(st.integers(-50, 50), st.integers(-50, 50)).filter(any),
    st.tuples(st.integers(-99, 99), st.integers(-99, 99)),
)
def test_out_and_back_is_exact_even_out_of_square(
    along: tuple[int, int], point: tuple[int, int]
) -> None:
    frame = Frame(origin=(3, -4), along=along)

    assert frame.outside(frame.local(point)) == point


def test_a_plane_is_flat_on_its_strip_and_then_climbs() -> None:
    plane = Plane(
        frame=Frame(origin=(0, 0), along=(1, 0)),
        base=Fraction(30),
        slope=Fraction(1, 40),
        start=Fraction(100),
        strip_height=Fraction(27),
    )

    assert [plane.at((5, y)) for y in (0, 99, 100, 140)] == [27, 27, 30, 31]


def test_a_pan_bowl_rises_to_the_nearest_rim_in_proportion() -> None:
    bowl = PanBowl(
        drain=(0, 0),
        base=Fraction(10),
        rise=Fraction(8),
        runs=(Fraction(40), Fraction(20), Fraction(80), Fraction(10)),
    )

    assert bowl.at((0, 0)) == 10
    assert bowl.at((20, 0)) == bowl.at((20, 10)) == 14
    assert bowl.at((-80, 3)) == bowl.at((0, -10)) == 18


def test_a_rim_bowl_is_level_all_round_and_straight_in_between() -> None:
    rim = ((-6, -5), (6, -5), (6, 3), (1, 3), (1, 7), (-6, 7))
    bowl = RimBowl(drain=(0, 0), base=Fraction(4), rise=Fraction(12), rim=rim)

    assert bowl.at((0, 0)) == 4
    assert {bowl.at(point) for point in rim} == {Fraction(16)}
    assert bowl.at((0, -5)) == 16
    assert bowl.at((3, 0)) == 10
    assert bowl.at((Fraction(1, 2), Fraction(7, 2))) == 10

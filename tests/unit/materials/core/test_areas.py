"""Areas: exact, in both systems, never mixed with plain numbers."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.core.areas import NO_AREA, TICKS2_PER_SQ_FT, Area
from materials.core.lengths import FOOT, Length

AREAS = st.integers(-(10**18), 10**18).map(Area)


def test_a_square_foot_is_144_square_inches() -> None:
    area = Length.inch(12).by(Length.inch(12))

    assert (area.sq_ft, area.sq_in) == (1, 144)
    assert area.sq_m == Fraction("0.09290304")
    assert area == Area(TICKS2_PER_SQ_FT) == Area(FOOT * FOOT)


@given(first=AREAS, second=AREAS, count=st.integers(-100, 100))
def test_sums_and_multiples_are_exact(first: Area, second: Area, count: int) -> None:
    assert (first + second) - second == first
    assert (first * count).sq_ft == first.sq_ft * count
    assert count * first == first * count
    assert first + (-first) == first - first


@given(area=AREAS)
def test_an_area_survives_both_units(area: Area) -> None:
    assert Area.sq_m_of(area.sq_m) == area
    assert Area.sq_ft_of(area.sq_ft) == area


def test_half_a_square_tick_rounds_away_from_zero() -> None:
    half = Fraction(1, 2 * TICKS2_PER_SQ_FT)

    assert Area.sq_ft_of(half) == Area(1)
    assert Area.sq_ft_of(5 * half) == Area(3)
    assert Area.sq_ft_of(-half) == Area(-1)


def test_a_ratio_of_areas_is_a_fraction() -> None:
    assert Area(9) / Area(6) == Fraction(3, 2)


def test_areas_are_printed_with_their_unit() -> None:
    area = Area.sq_ft_of(Fraction("22.125"))

    assert area.text("imperial") == "22.13 sq ft"
    assert area.text("metric", places=3) == "2.055 m²"
    assert repr(Area.sq_m_of(Fraction(3))) == "Area(3 m²)"


def test_an_area_does_not_mix_with_numbers_or_lengths() -> None:
    area: object = Area(3)
    for other in (1, 1.5, Fraction(1, 2), Length(3)):
        with pytest.raises(TypeError):
            area + other  # type: ignore[operator]
        with pytest.raises(TypeError):
            area - other  # type: ignore[operator]
    with pytest.raises(TypeError):
        area * 1.5  # type: ignore[operator]
    with pytest.raises(TypeError):
        Area(1.5)  # type: ignore[arg-type]


def test_no_area_is_false() -> None:
    assert not NO_AREA
    assert Area(1)
    assert Area(1) > NO_AREA

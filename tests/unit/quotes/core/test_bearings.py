"""Cosine, sine and root in whole numbers: exact where they can be, alike everywhere."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotes.core.bearings import cosine_and_sine, root, to_tick

HAIR = Fraction(1, 10**25)


@pytest.mark.parametrize(
    ("degrees", "cosine", "sine"),
    [(0, 1, 0), (90, 0, 1), (180, -1, 0), (270, 0, -1), (-90, 0, -1), (450, 0, 1)],
)
def test_quarter_turns_are_exact(degrees: int, cosine: int, sine: int) -> None:
    assert cosine_and_sine(Fraction(degrees)) == (cosine, sine)


def test_a_sixth_of_a_half_turn_has_its_half() -> None:
    assert abs(cosine_and_sine(Fraction(60))[0] - Fraction(1, 2)) < HAIR
    assert abs(cosine_and_sine(Fraction(150))[1] - Fraction(1, 2)) < HAIR
    assert abs(cosine_and_sine(Fraction(45))[0] ** 2 - Fraction(1, 2)) < HAIR


@given(st.fractions(min_value=-720, max_value=720, max_denominator=100))
def test_cosine_and_sine_stand_on_the_circle(degrees: Fraction) -> None:
    cosine, sine = cosine_and_sine(degrees)

    assert abs(cosine**2 + sine**2 - 1) < HAIR


@given(st.integers(0, 10**9), st.integers(1, 2**20))
def test_the_root_of_a_square_is_found(numerator: int, bits: int) -> None:
    value = Fraction(numerator, 2 ** (bits % 20))

    assert root(value * value) == value


def test_a_root_is_never_above_the_true_one_and_hardly_below() -> None:
    found = root(Fraction(2))

    assert found**2 <= 2 < (found + Fraction(1, 1 << 60)) ** 2


def test_a_half_tick_goes_away_from_nothing() -> None:
    assert [to_tick(Fraction(n, 2)) for n in (-3, -1, 1, 3)] == [-2, -1, 1, 2]

"""The first guess: its figures by hand, its ends, what it refuses."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.core.errors import OutOfRange
from materials.core.lengths import Length
from quotes.core.first_guess import ERROR, Guess, first_guess
from tests.cases import some_cases

mm = Length.mm


def guess(length: int, width: int, tile: int) -> Guess:
    return first_guess(
        length=mm(length), width=mm(width), tile_length=mm(tile), tile_width=mm(tile)
    )


def test_a_room_of_three_by_two_metres_by_hand() -> None:
    """Perimeter 10 m × 0.3 m ÷ 6 m² = 0.5; −0.07 + 0.25 × 0.5 = 5.5 %.

    6 ÷ 0.09 = 66.7 tiles; × 1.055 = 70.3; × 1.0 = 66.7 and × 1.135 = 75.7.
    """
    found = guess(3000, 2000, 300)

    assert found.loss == Fraction(55, 1000)
    assert (found.by_area, found.tiles, found.fewer, found.more) == (67, 71, 67, 76)
    assert ERROR == 8


def test_a_large_room_of_small_tiles_loses_nothing_by_the_guess() -> None:
    found = guess(10_000, 10_000, 100)

    assert (found.loss, found.tiles) == (0, found.by_area)


def test_a_size_of_nought_is_refused_by_its_name() -> None:
    with pytest.raises(OutOfRange) as caught:
        guess(3000, 2000, 0)

    assert caught.value.field == "tile_length"


@some_cases
@given(
    length=st.integers(1, 50_000),
    width=st.integers(1, 50_000),
    tile=st.integers(1, 3000),
)
def test_the_guess_lies_between_its_ends_and_never_below_the_area(
    length: int, width: int, tile: int
) -> None:
    found = guess(length, width, tile)

    assert found.by_area <= found.fewer <= found.tiles <= found.more
    assert (found.by_area - 1) * tile * tile < length * width

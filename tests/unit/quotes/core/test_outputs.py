from __future__ import annotations

from fractions import Fraction

import pytest

from materials.core.areas import NO_AREA, Area
from materials.core.lengths import NOTHING, Length
from materials.core.need import TileFacts
from quotes.core.outputs import (
    PATTERN_FACTOR,
    PORCELAIN_MORE,
    Setting,
    floor_output,
    skirting_output,
    wall_output,
)


def _tile(length, width, chip=0):
    return TileFacts(
        length=Length.mm(length),
        width=Length.mm(width),
        thickness=Length.mm(8),
        joint=Length.mm(2),
        chip_length=Length.mm(chip) if chip else NOTHING,
        chip_width=Length.mm(chip) if chip else NOTHING,
    )


def _setting(length=350, width=350, *, room="12", **more):
    return Setting(tile=_tile(length, width), room=Area.sq_m_of(Fraction(room)), **more)


@pytest.mark.parametrize(
    ("length", "width", "size"),
    [
        (100, 100, "35 × 35"),
        (350, 350, "35 × 35"),
        (351, 350, "45 × 45"),
        (600, 300, "45 × 45"),
        (747, 372, "60 × 60"),
        (1200, 600, "80 × 80"),
        (1500, 1500, "80 × 80"),
    ],
)
def test_a_tile_takes_the_smallest_published_face_not_smaller(length, width, size):
    assert size in floor_output(_setting(length, width)).row


@pytest.mark.parametrize(
    ("room", "words"),
    [("4.99", "under 5"), ("5", "5 to 10"), ("9.99", "5 to 10"), ("10", "over 10")],
)
def test_a_small_room_takes_its_own_hours(room, words):
    assert words in floor_output(_setting(room=room)).row


def test_big_tile_in_a_small_room_is_slower():
    small = floor_output(_setting(350, 350, room="3"))
    big = floor_output(_setting(800, 800, room="3"))

    assert big.setter > small.setter


def test_porcelain_without_a_row_adds_the_published_difference_and_says_so():
    plain = floor_output(_setting(450, 450))
    porcelain = floor_output(_setting(450, 450, porcelain=True))

    assert porcelain.setter == plain.setter + PORCELAIN_MORE
    assert "no porcelain row" in porcelain.notes[0]


def test_diagonal_without_a_row_is_taken_in_proportion_and_says_so():
    plain = floor_output(_setting(600, 600))
    diagonal = floor_output(_setting(600, 600, diagonal=True))

    assert diagonal.setter / plain.setter == Fraction("0.3428") / Fraction("0.2537")
    assert "in proportion" in diagonal.notes[0]


def test_a_diagonal_wall_is_taken_in_proportion_and_says_so():
    output = wall_output(_setting(450, 330, diagonal=True))

    assert output.setter == Fraction("0.6970") * Fraction("0.6232") / Fraction("0.5341")
    assert "20 × 20" in output.notes[0]


def test_part_height_walls_are_slower():
    full = wall_output(_setting(200, 200))
    half = wall_output(_setting(200, 200, half_height=True))

    assert half.setter > full.setter


def test_a_mosaic_floor_takes_the_wall_row_and_says_so():
    output = floor_output(Setting(tile=_tile(300, 300, chip=48), room=NO_AREA))

    assert output.setter == Fraction("1.12")
    assert output.notes == ("published for walls, taken for this floor",)


def test_an_interlocking_pattern_is_shop_practice_on_top():
    plain = wall_output(_setting(200, 200))
    herringbone = wall_output(_setting(200, 200, pattern="herringbone"))

    assert herringbone.setter == plain.setter * PATTERN_FACTOR
    assert herringbone.helper == plain.helper
    assert "common practice" in herringbone.notes[0]


@pytest.mark.parametrize("pattern", ["", "stack", "running_bond"])
def test_a_plain_pattern_adds_nothing(pattern):
    assert wall_output(_setting(200, 200, pattern=pattern)).notes == ()


def test_without_a_tile_the_smallest_row_is_taken():
    assert "35" in skirting_output(Setting(tile=None, room=NO_AREA)).row

from __future__ import annotations

from fractions import Fraction

from materials.core.cutting.pan_records import (
    LABOUR,
    WAY_KINDS,
    Height,
    PointDrain,
    Recess,
)
from materials.core.lengths import Length
from quotes.core.labour import OPERATIONS
from tests.pan_cases import a_pan, a_point, inches, ticks


def test_a_rectangle_counts_its_corners_from_the_lower_left() -> None:
    drain: PointDrain = a_point(9, 9)

    recess = Recess.rectangle(width=inches(38), depth=inches(35), drain=drain)

    assert recess.outline[2] == (ticks(38), ticks(35))


def test_a_pan_slopes_over_its_depth_less_its_strip() -> None:
    assert a_pan().sloping == inches(42)
    assert a_pan().slope == Fraction(1, 36)


def test_a_height_is_a_length_to_the_nearest_tick() -> None:
    height = Height(where="corner", index=0, at=(0, 0), ticks=Fraction(7, 2))

    assert height.length == Length(4)
    assert Height(where="corner", index=0, at=(0, 0), ticks=None).length is None


def test_every_kind_of_way_names_an_operation_of_labour() -> None:
    assert tuple(LABOUR) == WAY_KINDS
    assert set(LABOUR.values()) <= {one.key for one in OPERATIONS}

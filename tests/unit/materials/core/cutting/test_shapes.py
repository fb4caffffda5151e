"""Shapes: every way covers the shape."""

from __future__ import annotations

import pytest

from materials.core.cutting.shapes import gable_ways, l_shape_ways
from materials.core.errors import BadShape


def test_an_l_is_a_rectangle_with_a_notch_or_two_rectangles() -> None:
    ways = l_shape_ways(40, 90, notch_width=10, notch_height=30)

    areas = [sum(w * h for _x, _y, w, h in way.boxes) for way in ways]
    assert areas == [3_600, 3_300, 3_300]


def test_a_gable_in_the_middle_takes_one_rectangle_for_two_triangles() -> None:
    ways = gable_ways(60, eaves=80, ridge=100, at=30)

    assert ways[1].boxes == ((0, 0, 60, 80), (0, 80, 30, 20))
    with pytest.raises(BadShape):
        gable_ways(60, eaves=80, ridge=80, at=30)

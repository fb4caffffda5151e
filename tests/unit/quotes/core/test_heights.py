"""Leveller from spot heights, by triangles."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.core.lengths import NOTHING, Length
from materials.core.outlines import doubled_area, rectangle
from quotes.core.errors import WrongSurface
from quotes.core.heights import LevelFill, level_volume, triangulated
from quotes.core.visit_file import read_visit
from tests.builders import a_bare_visit, a_surface

mm = Length.mm
RING = rectangle(0, 0, mm(3000).ticks, mm(2000).ticks)


def fill(*spots: tuple[int, int, int], least: Length = NOTHING) -> LevelFill:
    heights = [{"x": str(x), "y": str(y), "height": str(h)} for x, y, h in spots]
    document: dict[str, Any] = a_bare_visit(a_surface(heights=heights))
    return level_volume(read_visit(document).spaces[0].surfaces[0], RING, least=least)


CORNERS = ((0, 0), (3000, 0), (3000, 2000), (0, 2000))


def test_a_floor_that_slopes_one_way_takes_half_its_fall() -> None:
    found = fill((0, 0, 0), (3000, 0, 10), (3000, 2000, 10), (0, 2000, 0))

    assert found.litres == 30
    assert (found.least, found.greatest) == (NOTHING, mm(10))
    assert found.triangles == 2


def test_a_level_floor_takes_the_least_depth_all_over() -> None:
    found = fill(*((x, y, 5) for x, y in CORNERS), least=mm(3))

    assert found.litres == 18
    assert found.least == found.greatest == mm(3)


def test_a_dip_in_the_middle_is_a_pyramid() -> None:
    found = fill(*((x, y, 9) for x, y in CORNERS), (1500, 1000, 0))

    assert found.litres == Fraction(6 * 9, 3)
    assert found.triangles == 4


def test_what_lies_outside_the_spots_takes_their_mean() -> None:
    found = fill((0, 0, 0), (1500, 0, 4), (1500, 2000, 4), (0, 2000, 0))

    assert found.litres == 3 * 2 + 3 * 2


@pytest.mark.parametrize(
    "spots",
    [
        ((0, 0, 0), (1, 1, 1)),
        ((0, 0, 0), (100, 100, 1), (200, 200, 2)),
        ((0, 0, 0), (0, 0, 1), (9, 0, 0), (0, 9, 0)),
    ],
)
def test_spots_that_make_no_plane_are_refused(
    spots: tuple[tuple[int, int, int], ...],
) -> None:
    with pytest.raises(WrongSurface):
        fill(*spots)


points = st.lists(
    st.tuples(st.integers(0, 90), st.integers(0, 90)),
    min_size=3,
    max_size=12,
    unique=True,
)


@given(points)
def test_triangles_are_counter_clockwise_and_hold_no_other_point(
    nodes: list[tuple[int, int]],
) -> None:
    for triangle in triangulated(nodes):
        a, b, c = (nodes[index] for index in triangle)
        assert doubled_area([a, b, c]) > 0
        for index, point in enumerate(nodes):
            if index in triangle:
                continue
            turns = [
                doubled_area([start, end, point])
                for start, end in ((a, b), (b, c), (c, a))
            ]
            assert min(turns) <= 0

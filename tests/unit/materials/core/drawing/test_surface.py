"""A surface drawn to scale with its sizes."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.core.drawing.records import (
    EXPOSED,
    FOLD,
    THRESHOLD,
    WALL,
    Diagonal,
    Frame,
    Hole,
    SurfaceDrawing,
)
from materials.core.drawing.style import PRINT
from materials.core.drawing.surface import draw_surface, signed_area_doubled
from materials.core.errors import BadShape
from materials.core.lengths import MM, Length
from tests.source_files import text_of
from tests.vectors import make_sketches

SQUARE = ((0, 0), (900 * MM, 0), (900 * MM, 900 * MM), (0, 900 * MM))
PLAIN = SurfaceDrawing(name="w", sentence="Wall A", outline=SQUARE)
FRAME = Frame(system="metric")


def test_the_shared_sketches_are_those_the_server_draws() -> None:
    kept = json.loads(text_of("tests/vectors/sketches.json"))

    assert kept == json.loads(make_sketches.text())


@pytest.mark.parametrize("outline", [SQUARE[:2], SQUARE[::-1], (SQUARE[0],) * 3])
def test_what_is_no_outline_is_refused(outline: tuple[tuple[int, int], ...]) -> None:
    with pytest.raises(BadShape, match="three corners"):
        draw_surface(replace(PLAIN, outline=outline), FRAME)


def test_the_area_of_an_outline_is_positive_when_anticlockwise() -> None:
    assert signed_area_doubled(((0, 0), (4, 0), (4, 3))) == 12
    assert signed_area_doubled(((0, 0), (4, 3), (4, 0))) == -12


def test_edges_are_drawn_by_their_kind() -> None:
    svg = draw_surface(replace(PLAIN, edges=(WALL, EXPOSED, THRESHOLD, FOLD)), FRAME)

    assert svg.count('class="o"') == 3
    assert svg.count('class="exp"') == 1
    assert svg.count('class="fold"') == 1


def test_an_opening_is_crossed_and_a_diagonal_dashed() -> None:
    hole = Hole(outline=tuple((x // 3 + 9, y // 3 + 9) for x, y in SQUARE))
    svg = draw_surface(
        replace(
            PLAIN, holes=(hole,), diagonals=(Diagonal(start=0, end=2, letter="e"),)
        ),
        FRAME,
    )

    assert '<polygon class="ef"' in svg
    assert 'class="hid"' in svg
    assert re.search(r'class="key"[^>]*>e<', svg)


def test_names_from_outside_are_escaped() -> None:
    svg = draw_surface(
        replace(PLAIN, sentence="<script>\"&'", note="<i>", letters=("<",)), FRAME
    )

    assert "<script>" not in svg
    assert "<i>" not in svg
    ElementTree.fromstring(svg)


def test_a_drawing_of_equal_records_is_equal_text() -> None:
    assert draw_surface(PLAIN, FRAME) == draw_surface(replace(PLAIN), replace(FRAME))


def test_a_sixteenth_in_print_is_set_in_raised_and_lowered_figures() -> None:
    read = replace(PLAIN, measured=(Length.inch("35 7/16"),))
    screen = draw_surface(read, Frame(system="imperial"))
    paper = draw_surface(read, Frame(system="imperial", style=PRINT, ratio=32))

    assert '>2′\u00a011<tspan class="fr">7⁄16</tspan>″<' in screen
    assert ">2′\u00a011⁷⁄₁₆″<" in paper


@given(
    st.lists(
        st.tuples(st.integers(1, 6_000), st.integers(1, 6_000)),
        min_size=1,
        max_size=6,
        unique_by=lambda step: step[0],
    ),
    st.sampled_from(["imperial", "metric"]),
)
def test_any_stair_of_steps_is_drawn_inside_its_sheet(
    steps: list[tuple[int, int]], system: str
) -> None:
    steps = sorted(steps)
    wide = steps[-1][0] * MM
    tops = [(0, 0), (wide, 0)]
    before = wide
    for right, high in reversed(steps):
        tops += [(min(before, right * MM), high * MM)]
        left = max((r for r, _ in steps if r < right), default=0) * MM
        tops += [(left, high * MM)]
        before = left
    svg = draw_surface(
        replace(PLAIN, outline=tuple(tops)),
        Frame(system=system, width=390, height=390),
    )

    root = ElementTree.fromstring(svg)
    width, height = (float(v) for v in str(root.get("viewBox")).split()[2:])
    for polygon in root.iter("{http://www.w3.org/2000/svg}polygon"):
        for pair in str(polygon.get("points")).split():
            x, y = (float(value) for value in pair.split(","))
            assert 0 <= x <= width
            assert 0 <= y <= height

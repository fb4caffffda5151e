"""Surfaces with numbered pieces: numbers clear of openings, folds dash and dot."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest

from materials.core.drawing.panels import NumberedPiece, PanelDrawing, draw_panels
from materials.core.drawing.records import Frame, Hole, SurfaceDrawing
from materials.core.errors import BadShape
from materials.core.lengths import MM
from materials.core.outlines import rectangle

FRAME = Frame(system="metric", width=358, height=400)


def box(*edges: int) -> tuple[tuple[int, int], ...]:
    return rectangle(*(edge * MM for edge in edges))


WALL = PanelDrawing(
    surface=SurfaceDrawing(
        name="w",
        sentence="Back wall",
        outline=box(0, 0, 1312, 2365),
        holes=(Hole(outline=box(500, 1100, 700, 1280)),),
    ),
    pieces=(
        NumberedPiece(outline=box(0, 0, 1270, 2365), number=1),
        NumberedPiece(outline=box(1270, 0, 1312, 2365), number=2),
    ),
    folds=(((600 * MM, 0), (600 * MM, 2365 * MM)),),
)


def test_every_piece_has_its_number_and_folds_are_dash_and_dot() -> None:
    svg = draw_panels(WALL, FRAME)

    assert svg.count('class="fold"') == 1
    assert ">1<" in svg
    assert ">2<" in svg
    ElementTree.fromstring(svg)


def test_a_number_stands_clear_of_an_opening() -> None:
    """The opening covers the middle of the piece; the number goes above or below."""
    drawn = ElementTree.fromstring(draw_panels(WALL, FRAME))
    numbers = [
        row for row in drawn.iter() if row.tag.endswith("text") and row.text == "1"
    ]

    (number,) = numbers
    crossed = [
        row for row in drawn.iter()
        if row.tag.endswith("polygon") and row.get("class") == "ef"
    ]  # fmt: skip
    points = crossed[-1].get("points", "").replace(",", " ").split()
    heights = [float(y) for y in points[1::2]]
    y = float(number.get("y", "0"))
    assert y < min(heights) or y > max(heights)


def test_an_outline_that_is_none_is_refused() -> None:
    flat = PanelDrawing(
        surface=SurfaceDrawing(name="w", sentence="", outline=((0, 0), (1, 0))),
        pieces=(),
    )

    with pytest.raises(BadShape):
        draw_panels(flat, FRAME)

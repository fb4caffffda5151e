"""A pan with its trim line, strips and falls."""

from __future__ import annotations

import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from materials.core.drawing.pan import (
    Drain,
    Fall,
    Height,
    PanDrawing,
    corner_folds,
    draw_pan,
    inside_runs,
)
from materials.core.drawing.records import Frame, Place
from materials.core.drawing.style import PRINT
from materials.core.errors import BadShape
from materials.core.lengths import INCH, Length

FRAME = Frame(system="imperial", width=358, height=330)
SQUARE = ((0, 0), (1_000, 0), (1_000, 1_000), (0, 1_000))


def at(x: int, y: int) -> Place:
    """Return a place in inches."""
    return x * INCH, y * INCH


PAN = PanDrawing(
    name="p",
    sentence="A pan of 60 by 38 inches, trimmed",
    width=Length.inch(60),
    depth=Length.inch(38),
    kept=(at(4, 2), at(56, 3), at(56, 38), at(4, 38)),
    drain=Drain(at=at(30, 19)),
    folds=corner_folds(Length.inch(60), Length.inch(38), at(30, 19)),
    falls=(Fall(start=at(10, 19), low=at(26, 19), word="1 : 40"),),
    heights=(Height(at=at(8, 8), height=Length.inch("1 5/16")),),
    racked=((at(56, 0), at(60, 0), at(60, 38), at(56, 38)),),
)


def test_a_pan_shows_trim_line_strips_falls_and_heights() -> None:
    svg = draw_pan(PAN, FRAME)

    assert svg.count('class="trim"') == 1
    assert 'fill="url(#p-waste)"' in svg
    assert 'fill="url(#p-spare)"' in svg
    assert ">1 : 40<" in svg
    assert '1<tspan class="fr">5⁄16</tspan>″' in svg
    ElementTree.fromstring(svg)


def test_chains_along_its_sides_add_up_to_the_pan() -> None:
    svg = draw_pan(PAN, FRAME)

    for lettered in (
        "4″",
        "4′\u00a04″",
        "5′\u00a00″",
        "3′\u00a00″",
        "2″",
        "3′\u00a02″",
    ):
        assert f">{lettered}<" in svg, lettered


def test_a_height_at_the_edge_is_lettered_inside_the_trim_line() -> None:
    edge = replace(PAN, heights=(Height(at=at(56, 38), height=Length.inch(2)),))
    svg = draw_pan(edge, FRAME)

    trim = re.search(r'class="trim" points="([^"]+)"', svg)
    mark = re.search(r'<g class="lev"><polygon class="e" points="([^"]+)"', svg)
    assert trim is not None
    assert mark is not None
    corners = [[float(v) for v in pair.split(",")] for pair in trim[1].split()]
    for pair in mark[1].split():
        x, y = (float(value) for value in pair.split(","))
        assert min(c[0] for c in corners) < x < max(c[0] for c in corners)
        assert min(c[1] for c in corners) < y < max(c[1] for c in corners)


def test_a_channel_is_a_double_line_dashed_inside() -> None:
    channel = replace(PAN, drain=Drain(at=at(6, 36), end=at(54, 36)))

    assert draw_pan(channel, FRAME).count('class="hid"') == 2


def test_a_printed_pan_has_no_patterns() -> None:
    svg = draw_pan(PAN, replace(FRAME, style=PRINT, ratio=32))

    assert "url(#" not in svg
    assert 'class="h3"' in svg
    assert "1⁵⁄₁₆″" in svg


def test_a_pan_without_size_or_outline_is_refused() -> None:
    with pytest.raises(BadShape, match="width"):
        draw_pan(replace(PAN, width=Length(0)), FRAME)
    with pytest.raises(BadShape, match="outline"):
        draw_pan(replace(PAN, kept=PAN.kept[:2]), FRAME)


def test_a_fold_is_drawn_only_inside_the_trim_line() -> None:
    assert inside_runs((-500, 500), (1_500, 500), SQUARE) == [((0, 500), (1_000, 500))]
    assert inside_runs((500, 500), (2_000, 500), SQUARE) == [((500, 500), (1_000, 500))]
    assert inside_runs((2_000, 0), (2_000, 900), SQUARE) == []

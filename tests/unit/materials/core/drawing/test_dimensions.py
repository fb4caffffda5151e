"""Dimension lines: where they stand, how they are read."""

from __future__ import annotations

import re
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from materials.core.drawing.dimensions import (
    BOTTOM,
    LEFT,
    RIGHT,
    TOP,
    beside,
    draw_chain,
    draw_dimension,
    far_room,
    is_tight,
    on_level,
    outward,
    reading_way,
)
from materials.core.drawing.lettering import width_of
from materials.core.drawing.pen import UNIT, Sheet
from materials.core.drawing.style import SCREEN


def sheet() -> Sheet:
    """Return an empty sheet."""
    return Sheet(name="s", size=(400_00, 400_00), sentence="s", style=SCREEN)


def test_a_dimension_stands_to_the_left_of_its_way() -> None:
    span = beside((0, 0), (100_00, 0), 24_00)

    assert (span.line_start, span.line_end) == ((0, -24_00), (100_00, -24_00))


def test_a_level_keeps_the_measured_ends_square_to_the_line() -> None:
    flat = on_level((10, 20), (30, 40), BOTTOM, 99)
    upright = on_level((10, 20), (30, 40), RIGHT, 99)

    assert (flat.line_start, flat.line_end) == ((10, 99), (30, 99))
    assert (upright.line_start, upright.line_end) == ((99, 20), (99, 40))


@given(st.integers(-UNIT, UNIT), st.integers(-UNIT, UNIT))
def test_text_is_read_from_below_or_from_the_right(across: int, down: int) -> None:
    x, y = reading_way((across, down))

    assert (x, y) in ((across, down), (-across, -down))
    if abs(x) * 4 < abs(y):
        assert y <= 0
    else:
        assert x >= 0


def test_a_dimension_has_a_line_two_extensions_two_ticks_and_a_text() -> None:
    one = sheet()
    draw_dimension(one, beside((100_00, 100_00), (200_00, 100_00), 24_00), "5′ 0″")

    svg = one.svg()
    assert svg.count('class="dl"') == 3
    assert svg.count('class="dt"') == 2
    assert svg.count("<text") == 1
    assert '<g class="dim">' in svg


def test_ticks_rise_to_the_right_of_the_text() -> None:
    one = sheet()
    draw_dimension(one, beside((200_00, 100_00), (100_00, 100_00), -24_00), "x")

    for tick in re.findall(
        r'class="dt" d="M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)"', one.svg()
    ):
        x1, y1, x2, y2 = (float(value) for value in tick)
        assert x2 > x1
        assert y2 < y1


def test_a_text_wider_than_its_span_is_tight() -> None:
    span = beside((0, 0), (30_00, 0), 24_00)

    assert is_tight(span, "10′ 11½″", SCREEN.letter)
    assert not is_tight(span, "3″", SCREEN.letter)


def test_texts_of_a_crowded_chain_stand_on_both_sides_of_the_line() -> None:
    one = sheet()
    spans = [
        (on_level((x, 0), (x + 20_00, 0), BOTTOM, 100_00), "10′ 11″", "")
        for x in (100_00, 120_00)
    ]
    draw_chain(one, spans, BOTTOM)

    heights = [
        float(y) for y in re.findall(r'<text x="[\d.]+" y="([\d.]+)"', one.svg())
    ]
    assert min(heights) < 100 < max(heights)
    assert far_room(SCREEN.letter) >= max(heights) * 100 - 100_00


def places(svg: str, side: str) -> list[tuple[float, float, str]]:
    """Return where the texts of a chain stand: across the line, along it, the text."""
    if side in (BOTTOM, TOP):
        found = re.findall(r'<text x="([\d.-]+)" y="([\d.-]+)"[^>]*>([^<]+)<', svg)
        return [(float(y), float(x), text) for x, y, text in found]
    found = re.findall(
        r'<text transform="matrix\([^)]* ([\d.-]+) ([\d.-]+)\)"[^>]*>([^<]+)<', svg
    )
    return [(float(x), -float(y), text) for x, y, text in found]


@given(
    st.lists(
        st.tuples(
            st.integers(3, 60),
            st.sampled_from(("6″", "8⅛″", "11½″", "1′ 5″", "1′ 3⅜″", "207", "1350")),
        ),
        min_size=2,
        max_size=7,
    ),
    st.sampled_from((BOTTOM, RIGHT, TOP, LEFT)),
)
def test_no_text_of_a_chain_touches_another(
    parts: list[tuple[int, str]], side: str
) -> None:
    one, spans, at = sheet(), [], 40_00
    for wide, text in parts:
        near, far = at, at + wide * 100
        ends = (
            ((near, 0), (far, 0))
            if side in (BOTTOM, TOP)
            else ((0, 400_00 - near), (0, 400_00 - far))
        )
        spans.append((on_level(*ends, side, 200_00), text, ""))
        at = far
    draw_chain(one, spans, side)

    rows: dict[float, list[tuple[float, float]]] = {}
    for across, along, text in places(one.svg(), side):
        half = width_of(text, SCREEN.letter) / 200
        rows.setdefault(round(across), []).append((along - half, along + half))
    assert sum(len(row) for row in rows.values()) == len(parts)
    for row in rows.values():
        for (_, end), (start, _end) in pairwise(sorted(row)):
            assert start >= end


def test_a_text_that_had_to_slide_is_led_back_to_its_span() -> None:
    alone, led = sheet(), sheet()
    span = on_level((100_00, 0), (103_00, 0), BOTTOM, 100_00)
    draw_dimension(alone, span, "6″", shift=-14_00)
    draw_dimension(led, span, "6″", shift=-14_00, slide=30_00)

    assert led.svg().count('class="dl"') == alone.svg().count('class="dl"') + 1


def test_an_edge_faces_the_side_it_is_seen_from() -> None:
    assert outward((0, 0), (10, 0)) == BOTTOM
    assert outward((10, 0), (10, 10)) == RIGHT
    assert outward((10, 10), (0, 10)) == TOP
    assert outward((0, 10), (0, 0)) == LEFT
    assert outward((0, 0), (10, 10)) == ""

"""Dimension lines: slash ticks at 45°, extension lines, text read from below or right.

A span says what is measured (two points of the object) and where its line stands. The
text is above the line; where it is wider than its span it is raised clear of the ticks.
"""

from __future__ import annotations

from dataclasses import dataclass

from materials.core.drawing.lettering import width_of
from materials.core.drawing.pen import (
    Point,
    Sheet,
    along,
    direction,
    distance,
    middle,
)

BOTTOM = "bottom"
RIGHT = "right"
TOP = "top"
LEFT = "left"
SIDES = (BOTTOM, RIGHT, TOP, LEFT)


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """One dimension: the points measured and the ends of its line."""

    start: Point
    end: Point
    line_start: Point
    line_end: Point


def beside(start: Point, end: Point, off: int) -> Span:
    """Return a span whose line runs beside its points, `off` to the left of the way."""
    way = direction(start, end)
    out = way[1], -way[0]
    return Span(
        start=start,
        end=end,
        line_start=along(start, out, off),
        line_end=along(end, out, off),
    )


def on_level(start: Point, end: Point, side: str, level: int) -> Span:
    """Return a span whose line stands on a level of the sheet.

    Shape: `level` is the y of the line for bottom and top, its x for left and right.
    """
    if side in (BOTTOM, TOP):
        return Span(
            start=start,
            end=end,
            line_start=(start[0], level),
            line_end=(end[0], level),
        )
    return Span(
        start=start, end=end, line_start=(level, start[1]), line_end=(level, end[1])
    )


def reading_way(way: Point) -> Point:
    """Return the direction a text along a line is read in: from below or the right."""
    steep = abs(way[0]) * 4 < abs(way[1])
    turned = way[1] > 0 if steep else way[0] < 0
    return (-way[0], -way[1]) if turned else way


def draw_dimension(
    sheet: Sheet,
    span: Span,
    lettered: str,
    kind: str = "",
    *,
    shift: int = 0,
    slide: int = 0,
) -> None:
    """Draw one dimension with its text, moved away from the line by `shift`.

    Shape: a negative shift puts the text on the other side of its line. A text that
    `slide` moves along the line, past its own span, is led back to it.
    """
    style = sheet.style
    sheet.open(f"dim {kind}" if kind else "dim")
    for point, end in (
        (span.start, span.line_start),
        (span.end, span.line_end),
    ):
        if distance(point, end) > style.gap + 2_00:
            out = direction(point, end)
            sheet.line(along(point, out, style.gap), along(end, out, style.over), "dl")
    way = reading_way(direction(span.line_start, span.line_end))
    first, last = span.line_start, span.line_end
    if way != direction(first, last):
        first, last = last, first
    sheet.line(along(first, way, -style.over), along(last, way, style.over), "dl")
    up = way[1], -way[0]
    for at in (first, last):
        sheet.line(
            along(along(at, way, -style.tick), up, -style.tick),
            along(along(at, way, style.tick), up, style.tick),
            "dt",
        )
    high = style.above + shift
    if shift == 0 and is_tight(span, lettered, style.letter):
        high += style.tick + 1_00
    at = middle(first, last)
    sheet.text(along(along(at, way, slide), up, high), lettered, way=way)
    reach = slide - width_of(lettered, style.letter) // 2
    if slide and reach > 0:
        foot = along(along(at, way, reach), up, high + style.letter // 3)
        sheet.line(at, foot, "dl")
    sheet.close()


def is_tight(span: Span, lettered: str, letter: int) -> bool:
    """Return whether a text is wider than its span leaves between the ticks."""
    room = distance(span.line_start, span.line_end)
    return room < width_of(lettered, letter) + 8_00


def far_room(letter: int) -> int:
    """Return the room a chain needs beyond its line for texts that do not fit."""
    return letter + 4_00


def draw_chain(sheet: Sheet, spans: list[tuple[Span, str, str]], side: str) -> None:
    """Draw dimensions standing in one line, none of their texts touching another.

    Shape: (span, lettered text, class), in order along the line.
    Method: a text wider than its span, or one that a neighbour reaches into, goes to
    the far side of the line, away from the object. Where that is taken too, it slides
    along until it is clear, and a leader brings it back to its span.
    """
    letter = sheet.style.letter
    far = letter if side in (TOP, LEFT) else -(letter + sheet.style.above)
    reached: dict[int, int | None] = {0: None, far: None}
    for span, lettered, kind in spans:
        half = width_of(lettered, letter) // 2 + 1_50
        at = _place_along(span)
        free = {
            shift: end is None or at - half >= end for shift, end in reached.items()
        }
        crowded = is_tight(span, lettered, letter) or not free[0]
        shift = far if crowded and (free[far] or not free[0]) else 0
        end = reached[shift]
        slide = 0 if end is None else max(0, end - (at - half))
        draw_dimension(sheet, span, lettered, kind, shift=shift, slide=slide)
        reached[shift] = at + half + slide


def _place_along(span: Span) -> int:
    mid = middle(span.line_start, span.line_end)
    upright = abs(span.line_end[0] - span.line_start[0]) < abs(
        span.line_end[1] - span.line_start[1]
    )
    return -mid[1] if upright else mid[0]


def outward(start: Point, end: Point) -> str:
    """Return the side an edge of an outline faces, or an empty text when it slants.

    Shape: points of an anticlockwise outline with y up (ticks, not the sheet).
    """
    across, up = end[0] - start[0], end[1] - start[1]
    if abs(up) * 4 <= abs(across):
        return BOTTOM if across > 0 else TOP
    if abs(across) * 4 <= abs(up):
        return RIGHT if up > 0 else LEFT
    return ""

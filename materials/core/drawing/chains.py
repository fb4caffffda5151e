"""Which sizes of a surface are dimensioned, on which side and in which chain.

Sizes of openings stand nearest the object, sides outside them, an overall length
outermost and only where no single side says it. A rectangle is dimensioned once across
and once up, unless the tape read its opposite sides differently.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import isqrt

from materials.core.drawing.dimensions import (
    BOTTOM,
    LEFT,
    RIGHT,
    SIDES,
    TOP,
    Span,
    beside,
    draw_chain,
    draw_dimension,
    far_room,
    on_level,
    outward,
)
from materials.core.drawing.lettering import RAISED, SVG, length_words, width_of
from materials.core.drawing.pen import Point, Sheet, distance, part
from materials.core.drawing.records import Frame, Place, SurfaceDrawing
from materials.core.drawing.symbols import Scale
from materials.core.lengths import INCH, Length

FOOT_ROOM = 26_00
"""Under the drawing: the scale bar and the note."""
CORNER = 84_00
"""A key plan with its letters."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """One dimension still in ticks."""

    start: Place
    end: Place
    lettered: str
    kind: str = ""


Rows = dict[str, list[list[Measure]]]
"""The chains on each side, nearest the object first; "" holds the slanting sides."""


def dimension_rows(surface: SurfaceDrawing, frame: Frame) -> Rows:
    """Return the chains of dimensions on each side of a surface."""
    sides = _sides(surface, frame)
    rows: Rows = {side: [] for side in (*SIDES, "")}
    rows[BOTTOM] = _hole_rows(surface, frame, 0)
    rows[RIGHT] = _hole_rows(surface, frame, 1)
    if sides[""]:
        rows[""].append(sides[""])
    plain = _is_rectangle(surface.outline) and surface.now in (None, 0, 3)
    for side, across in ((BOTTOM, TOP), (LEFT, RIGHT)):
        axis = _axis(side)
        rows[side] += _packed(sides[side], axis)
        same = [m.lettered for m in sides[side]] == [m.lettered for m in sides[across]]
        if not (plain and same):
            rows[across] += _packed(sides[across], axis)
        low, high = _extent(surface.outline, axis)
        said = any(
            abs(measure.end[axis] - measure.start[axis]) == high - low
            for measure in (*sides[side], *sides[across])
        )
        if not said:
            rows[side].append([_overall(surface, frame, side)])
    return rows


def _axis(side: str) -> int:
    return 0 if side in (BOTTOM, TOP) else 1


def _extent(outline: tuple[Place, ...], axis: int) -> tuple[int, int]:
    values = [point[axis] for point in outline]
    return min(values), max(values)


def _sides(surface: SurfaceDrawing, frame: Frame) -> dict[str, list[Measure]]:
    sides: dict[str, list[Measure]] = {side: [] for side in (*SIDES, "")}
    outline = surface.outline
    for index, start in enumerate(outline):
        end = outline[(index + 1) % len(outline)]
        given = surface.measured[index] if index < len(surface.measured) else None
        side = outward(start, end)
        sides["" if _is_hidden(outline, index, side) else side].append(
            Measure(
                start=start,
                end=end,
                lettered=_lettered(given or _between(start, end), frame),
                kind="now" if index == surface.now else "",
            )
        )
    return sides


def _is_hidden(outline: tuple[Place, ...], index: int, side: str) -> bool:
    """Return whether another part of the outline stands before a side.

    Such a side is dimensioned in its own recess, not through the part before it.
    """
    if not side:
        return False
    axis = _axis(side)
    outwards = -1 if side in (BOTTOM, LEFT) else 1
    start, end = outline[index], outline[(index + 1) % len(outline)]
    low, high = sorted((start[axis], end[axis]))
    own = max(start[1 - axis] * outwards, end[1 - axis] * outwards)
    for at, first in enumerate(outline):
        second = outline[(at + 1) % len(outline)]
        if at == index or outward(first, second) != side:
            continue
        near, far = sorted((first[axis], second[axis]))
        beyond = min(first[1 - axis] * outwards, second[1 - axis] * outwards) > own
        if beyond and near < high and far > low:
            return True
    return False


def _between(start: Place, end: Place) -> Length:
    across, up = end[0] - start[0], end[1] - start[1]
    return Length(isqrt(across * across + up * up))


def _lettered(length: Length, frame: Frame) -> str:
    setting = RAISED if frame.style.printed else SVG
    return length_words(length, system=frame.system, setting=setting, unit=False)


def _hole_rows(surface: SurfaceDrawing, frame: Frame, axis: int) -> list[list[Measure]]:
    """Return the chain through all openings, below (axis 0) or on the right (1)."""
    if not surface.holes:
        return []
    low, high = _extent(surface.outline, axis)
    marks = {point[axis] for hole in surface.holes for point in hole.outline}
    places = sorted({low, high} | {mark for mark in marks if low < mark < high})
    level = _extent(surface.outline, 1 - axis)[axis]
    return [
        [
            Measure(
                start=(first, level) if axis == 0 else (level, first),
                end=(second, level) if axis == 0 else (level, second),
                lettered=_lettered(Length(second - first), frame),
            )
            for first, second in pairwise(places)
        ]
    ]


def _packed(measures: list[Measure], axis: int) -> list[list[Measure]]:
    """Return the sides in rows, so that no two in a row overlap."""
    rows: list[list[Measure]] = []
    for measure in sorted(measures, key=lambda m: min(m.start[axis], m.end[axis])):
        low = min(measure.start[axis], measure.end[axis])
        for row in rows:
            if max(row[-1].start[axis], row[-1].end[axis]) <= low:
                row.append(measure)
                break
        else:
            rows.append([measure])
    return rows


def _is_rectangle(outline: tuple[Place, ...]) -> bool:
    return len(outline) == 4 and all(
        start[0] == end[0] or start[1] == end[1]
        for start, end in zip(outline, (*outline[1:], outline[0]), strict=True)
    )


def _overall(surface: SurfaceDrawing, frame: Frame, side: str) -> Measure:
    axis = _axis(side)
    low, high = _extent(surface.outline, axis)
    level = _extent(surface.outline, 1 - axis)[0]
    return Measure(
        start=(low, level) if axis == 0 else (level, low),
        end=(high, level) if axis == 0 else (level, high),
        lettered=_lettered(Length(high - low), frame),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """A drawing laid out: its scale, the sheet's size, where each chain stands."""

    scale: Scale
    size: Point
    offsets: dict[str, list[int]]
    """How far from the object each chain's line is, by side."""


def fit(
    outline: tuple[Place, ...], rows: Rows, frame: Frame, *, corner: bool = False
) -> Laid:
    """Return the layout in which a surface and its chains fit the frame.

    `corner` keeps the upper right corner free for a key plan: beside a tall surface,
    above a wide one.

    Rounds: sizes on the sheet to 1/100 px. A frame too small for its margins still
    gives the object 40 px.
    Method: once without room for texts that do not fit their spans, then again with
    that room where the first scale shows it is needed.
    """
    plain = {side: [False] * len(rows[side]) for side in SIDES}
    first = _laid(outline, rows, frame, (plain, corner))
    crowded = {
        side: [_is_crowded(row, first.scale, frame) for row in rows[side]]
        for side in SIDES
    }
    return _laid(outline, rows, frame, (crowded, corner))


def _is_crowded(row: list[Measure], scale: Scale, frame: Frame) -> bool:
    """Return whether a chain holds a text that nearly fills its span, or more."""
    letter = frame.style.letter
    if len(row) < 2:
        return False
    return any(
        distance(scale.at(*measure.start), scale.at(*measure.end)) * 10
        < (width_of(measure.lettered, letter) + 8_00) * 11
        for measure in row
    )


def _laid(
    outline: tuple[Place, ...],
    rows: Rows,
    frame: Frame,
    needs: tuple[dict[str, list[bool]], bool],
) -> Laid:
    crowded, corner = needs
    margin, offsets = _margins(rows, frame, crowded)
    (low_x, high_x), (low_y, high_y) = _extent(outline, 0), _extent(outline, 1)
    wide, high = high_x - low_x, high_y - low_y
    if corner and high >= wide:
        margin[RIGHT] += CORNER
    elif corner:
        margin[TOP] = max(margin[TOP], CORNER + 6_00)
    room_x = max(frame.width * 100 - margin[LEFT] - margin[RIGHT], 40_00)
    room_y = max(frame.height * 100 - margin[TOP] - margin[BOTTOM] - FOOT_ROOM, 40_00)
    if frame.ratio is not None:
        numerator, denominator = 96_00, INCH * frame.ratio
    elif room_x * high <= room_y * wide:
        numerator, denominator = room_x, wide
    else:
        numerator, denominator = room_y, high
    width = margin[LEFT] + part(wide, numerator, denominator) + margin[RIGHT]
    left = margin[LEFT]
    if frame.ratio is None:
        left += max(frame.width * 100 - width, 0) // 2
        width = max(frame.width * 100, width)
    origin = (
        left - part(low_x, numerator, denominator),
        margin[TOP] + part(high_y, numerator, denominator),
    )
    up = part(high, numerator, denominator)
    return Laid(
        scale=Scale(numerator=numerator, denominator=denominator, origin=origin),
        size=(width, margin[TOP] + up + margin[BOTTOM] + FOOT_ROOM),
        offsets=offsets,
    )


def _margins(
    rows: Rows, frame: Frame, crowded: dict[str, list[bool]]
) -> tuple[dict[str, int], dict[str, list[int]]]:
    """Texts stand outside the outermost line at the top and on the left."""
    style = frame.style
    edge = 6_00 if style.printed else 12_00
    slant = 2 * style.level if rows[""] else 0
    margins: dict[str, int] = {}
    offsets: dict[str, list[int]] = {side: [] for side in SIDES}
    for side in SIDES:
        reach = 0
        for full in crowded[side]:
            reach += style.level
            offsets[side].append(reach)
            reach += far_room(style.letter) if full else 0
        outside = style.letter if side in (TOP, LEFT) and rows[side] else 0
        margins[side] = max(edge + reach + outside, slant)
    return margins, offsets


def draw_rows(sheet: Sheet, laid: Laid, outline: tuple[Place, ...], rows: Rows) -> None:
    """Draw every chain; slanting sides carry their own dimension beside them."""
    for side in SIDES:
        for row, off in zip(rows[side], laid.offsets[side], strict=True):
            if len(row) == 1 and _at_the_edge(row[0], outline, side):
                _draw_beside(sheet, laid.scale, row[0], off)
            else:
                _draw_level(sheet, laid.scale, outline, side, (row, off))
    for row in rows[""]:
        for measure in row:
            _draw_beside(sheet, laid.scale, measure, sheet.style.level)


def _at_the_edge(measure: Measure, outline: tuple[Place, ...], side: str) -> bool:
    if outward(measure.start, measure.end) != side:
        return False
    axis = 1 - _axis(side)
    low, high = _extent(outline, axis)
    ends = measure.start[axis], measure.end[axis]
    return min(ends) == low if side in (BOTTOM, LEFT) else max(ends) == high


def _draw_beside(sheet: Sheet, scale: Scale, measure: Measure, off: int) -> None:
    span = beside(scale.at(*measure.end), scale.at(*measure.start), off)
    draw_dimension(sheet, span, measure.lettered, measure.kind)


def _draw_level(
    sheet: Sheet,
    scale: Scale,
    outline: tuple[Place, ...],
    side: str,
    chain: tuple[list[Measure], int],
) -> None:
    row, off = chain
    ring = scale.ring(outline)
    level = {
        BOTTOM: max(y for _, y in ring) + off,
        RIGHT: max(x for x, _ in ring) + off,
        TOP: min(y for _, y in ring) - off,
        LEFT: min(x for x, _ in ring) - off,
    }[side]
    spans: list[tuple[Span, str, str]] = []
    for measure in row:
        first, last = sorted(
            (measure.start, measure.end), key=lambda at: at[_axis(side)]
        )
        span = on_level(scale.at(*first), scale.at(*last), side, level)
        spans.append((span, measure.lettered, measure.kind))
    draw_chain(sheet, spans, side)

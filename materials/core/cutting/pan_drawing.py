"""Plan and section of a way as SVG: black and white, whole numbers, byte for byte.

In plan the pan is dashed, what comes off it hatched wide at 45°, the trim line heavy.
The section is drawn with its heights three times too tall, and says so.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

from materials.core import amounts
from materials.core.cutting.pan_floor import Floor, floor_of
from materials.core.cutting.pan_outlines import (
    Number,
    Point,
    bounds,
    is_on,
    outer_rings,
    sides,
    whole,
)
from materials.core.cutting.pan_point import wall_runs, walls
from materials.core.cutting.pan_records import (
    Fit,
    LinearDrain,
    Recess,
    Way,
)
from materials.core.cutting.pan_section import Section, section_of, span
from materials.core.drawing.dimensions import (
    BOTTOM,
    LEFT,
    draw_dimension,
    on_level,
)
from materials.core.drawing.lettering import length_words, words
from materials.core.drawing.pen import (
    BOARD,
    FOAM,
    MORTAR,
    WASTE,
    Ring,
    Sheet,
    along,
    direction,
    middle,
    number,
)
from materials.core.drawing.style import PRINT, PX
from materials.core.drawing.symbols import (
    Scale,
    draw_fall,
    draw_height,
    draw_linear_drain,
    draw_point_drain,
)
from materials.core.lengths import INCH, Length
from materials.core.quantities import decimal_text

WIDE = 640 * PX
MARGIN = 64 * PX
TALLER = 3
"""How many times too tall the heights of a section are drawn."""

DRAIN_ROOM = 8 * PX
"""Between a side and its first dimension: a linear drain is drawn there."""

LINE = 15 * PX
SECTION_HEAD = 40 * PX


def ways_drawing(recess: Recess, fit: Fit) -> str:
    """Return plan and section of every way, cheapest first, as one SVG text.

    Without any way the recess alone is drawn, with the first reason.
    """
    floor = floor_of(recess)
    drawings = [way_drawing(floor, way, name=f"w{n}") for n, way in enumerate(fit.ways)]
    if not drawings:
        reason = fit.refused[0].reason if fit.refused else "Nothing is in the list."
        drawings = [_bare_drawing(floor, reason)]
    parts, down = [], 0
    for drawing, high in drawings:
        parts.append(f'<g transform="translate(0 {number(down)})">{drawing}</g>')
        down += high
    size = f'viewBox="0 0 {number(WIDE)} {number(down)}"'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} width="{number(WIDE)}" '
        f'height="{number(down)}" style="background:#fff">{"".join(parts)}</svg>\n'
    )


def way_drawing(floor: Floor, way: Way, *, name: str) -> tuple[str, int]:
    """Return one way's plan and section as SVG text, and how tall it is.

    Units: hundredths of a pixel. Rounds: points to the nearest of them, lettering to
    1/16 in or 0.1 mm.
    """
    section = section_of(floor, way)
    plan = _plan_scale(floor, [piece.corners for piece in way.pieces])
    cut = _section_scale(section, top=plan.bottom + SECTION_HEAD + 2 * LINE)
    high = cut.bottom + MARGIN
    sheet = Sheet(name=name, size=(WIDE, high), sentence=way.sentence, style=PRINT)
    pen = _Pen(sheet=sheet, floor=floor)
    kind = way.kind.replace("_", " ").capitalize()
    title = f"{kind}: {way.name}, {amounts.plain(way.cost)}"
    sheet.text((MARGIN, 22 * PX), words(title), "tl", anchor="start")
    pen.plan(way, plan)
    heading = f"Section along the fall, heights × {TALLER}"
    sheet.text((MARGIN, plan.bottom + SECTION_HEAD), heading, "t2", anchor="start")
    pen.section(section, cut)
    return sheet.svg(), high


def _bare_drawing(floor: Floor, reason: str) -> tuple[str, int]:
    plan = _plan_scale(floor, [])
    high = plan.bottom + MARGIN
    sheet = Sheet(name="none", size=(WIDE, high), sentence=reason, style=PRINT)
    sheet.text((MARGIN, 22 * PX), words(reason), "t2", anchor="start")
    _Pen(sheet=sheet, floor=floor).outline(plan)
    return sheet.svg(), high


@dataclass(frozen=True, slots=True, kw_only=True)
class _Laid:
    """A part of the drawing: its scale, the box it covers, and where it ends below.

    `box` is least x, least y, greatest x, greatest y in ticks.
    """

    scale: Scale
    box: tuple[int, int, int, int]
    bottom: int

    def at(self, point: tuple[Number, Number]) -> tuple[int, int]:
        return self.scale.at(whole(point[0]), whole(point[1]))

    def ring(self, points: Iterable[tuple[Number, Number]]) -> Ring:
        return tuple(self.at(point) for point in points)


def _plan_scale(floor: Floor, pans: Sequence[tuple[Point, ...]]) -> _Laid:
    box = _whole_box([floor.ring, *pans])
    return _laid(box, top=44 * PX, tall=460 * PX)


def _whole_box(rings: Sequence[tuple[Point, ...]]) -> tuple[int, int, int, int]:
    x0, y0, x1, y1 = bounds(rings if isinstance(rings, tuple) else tuple(rings))
    return whole(x0), whole(y0), whole(x1), whole(y1)


def _laid(box: tuple[int, int, int, int], *, top: int, tall: int) -> _Laid:
    wide, high = box[2] - box[0], box[3] - box[1]
    room = WIDE - 2 * MARGIN - MARGIN // 2
    numerator, denominator = (
        (room, wide) if room * high <= tall * wide else (tall, high)
    )
    scale = Scale(numerator=numerator, denominator=denominator, origin=(0, 0))
    left = (WIDE - scale.px(wide)) // 2
    origin = (left - scale.px(box[0]), top + scale.px(box[3]))
    bottom = top + scale.px(high) + MARGIN
    return _Laid(scale=replace(scale, origin=origin), box=box, bottom=bottom)


def _section_scale(section: Section, *, top: int) -> _Laid:
    low, high, tall = span(section)
    box = (whole(low), 0, whole(high), whole(tall) * TALLER)
    return _laid(box, top=top, tall=200 * PX)


class _Pen:
    """Draw the parts of one way on a sheet."""

    def __init__(self, *, sheet: Sheet, floor: Floor) -> None:
        self.sheet = sheet
        self.floor = floor

    def letter(self, ticks: Number) -> str:
        """Return a length as lettered on the sheet."""
        recess = self.floor.recess
        return length_words(
            Length(whole(Fraction(ticks) / recess.scale)),
            system=recess.system,
            setting=self.sheet.setting,
            unit=False,
        )

    def plan(self, way: Way, laid: _Laid) -> None:
        sheet = self.sheet
        for piece in way.pieces:
            pan = laid.ring(piece.corners)
            kept = [laid.ring(ring) for ring in piece.keep]
            sheet.hatch(WASTE, [pan, *kept])
            sheet.polygon(pan, "hid")
        for board in way.boards:
            sheet.polygon(laid.ring(board.outline), "of")
            sheet.hatch(BOARD, [laid.ring(board.outline)])
        if way.bed is not None:
            sheet.hatch(MORTAR, [laid.ring(ring) for ring in self.floor.region])
        # Heights first: the paper under their lettering must not break a line.
        for height in way.heights:
            if height.ticks is not None and height.where == "corner":
                self.height(laid.at(height.at), height.ticks, laid, height.at)
        self.outline(laid)
        for piece in way.pieces:
            for ring in piece.keep:
                sheet.polygon(laid.ring(ring), "trim")
        self.falls(way, laid)
        self.chain(self._chain_places(way, 0), laid, BOTTOM)
        self.chain(self._chain_places(way, 1), laid, LEFT)

    def _chain_places(self, way: Way, axis: int) -> list[int]:
        """Return the places of a chain of dimensions, each once, in order.

        Out of square the corners of pan and recess differ by slivers that no one
        measures along an axis: of places within an inch the first is dimensioned.
        """
        places = sorted({whole(point[axis]) for point in self._places(way)})
        hair = 0 if self._is_square else INCH * self.floor.recess.scale
        found = places[:1]
        for place in places[1:-1]:
            if place - found[-1] > hair and places[-1] - place > hair:
                found.append(place)
        return [*found, places[-1]]

    @property
    def _is_square(self) -> bool:
        return all(a[0] == b[0] or a[1] == b[1] for a, b in sides(self.floor.ring))

    def _places(self, way: Way) -> list[Point]:
        rings = [*self.floor.region, *(piece.corners for piece in way.pieces)]
        rings.append(self.floor.ring)
        return [point for ring in rings for point in ring]

    def outline(self, laid: _Laid) -> None:
        """Draw the recess, its flat areas and its drain."""
        sheet = self.sheet
        sheet.polygon(laid.ring(self.floor.ring), "o")
        for flat in self.floor.flats:
            sheet.polygon(laid.ring(flat), "e")
        points = [laid.at(point) for point in self.floor.drain_points]
        if len(points) == 2:
            way = direction(*(points if self._is_forward else points[::-1]))
            beside = [along(point, (-way[1], way[0]), 5 * PX) for point in points]
            draw_linear_drain(sheet, beside[0], beside[1], 7 * PX)
        else:
            draw_point_drain(sheet, points[0], 6 * PX)

    @property
    def _is_forward(self) -> bool:
        """Whether the outline was given counter-clockwise."""
        return self.floor.recess.outline == self.floor.ring

    def falls(self, way: Way, laid: _Laid) -> None:
        """Draw an arrow down each plane with its ratio."""
        if isinstance(self.floor.recess.drain, LinearDrain):
            start, low = self._plane_fall()
            self.fall(laid.at(start), laid.at(low), way.slope)
            return
        edges = walls(self.floor)
        drain = self.floor.drain_points[0]
        for seen, run in zip(wall_runs(self.floor), way.runs, strict=True):
            a, b = edges[seen.index]
            wall = run.at if is_on(run.at, (a, b)) else _between(a, b, Fraction(1, 2))
            start = _between(wall, drain, Fraction(1, 10))
            low = _between(wall, drain, Fraction(7, 10))
            self.fall(laid.at(start), laid.at(low), run.slope)

    def fall(
        self, start: tuple[int, int], low: tuple[int, int], slope: Fraction
    ) -> None:
        """Draw an arrow down a plane, its ratio beside it."""
        draw_fall(self.sheet, start, low)
        x, y = middle(start, low)
        steep = abs(low[1] - start[1]) > abs(low[0] - start[0])
        at = (x + 5 * PX, y) if steep else (x, y - 5 * PX)
        anchor = "start" if steep else "middle"
        self.sheet.text(at, _ratio(slope), "t2", anchor=anchor)

    def _plane_fall(self) -> tuple[Point, Point]:
        first, last = self.floor.drain_points
        low = _between(first, last, Fraction(1, 2))
        ring = outer_rings(self.floor.region)[0]
        x = sum((Fraction(point[0]) for point in ring), Fraction(0)) / len(ring)
        y = sum((Fraction(point[1]) for point in ring), Fraction(0)) / len(ring)
        # Straight to the drain side: the foot of the region's middle on that line.
        dx, dy = last[0] - first[0], last[1] - first[1]
        part = ((x - low[0]) * dx + (y - low[1]) * dy) / (dx * dx + dy * dy)
        foot = (low[0] + part * dx, low[1] + part * dy)
        return _between(foot, (x, y), Fraction(3, 2)), _between(
            foot, (x, y), Fraction(1, 4)
        )

    def height(
        self, at: tuple[int, int], ticks: Fraction, laid: _Laid, place: Point
    ) -> None:
        """Letter a height beside its place, towards the middle of the part."""
        left = 2 * place[0] <= laid.box[0] + laid.box[2]
        draw_height(
            self.sheet, at, self.letter(ticks), anchor="start" if left else "end"
        )

    def chain(self, places: Sequence[int], laid: _Laid, side: str) -> None:
        """Draw a chain of dimensions below or to the left, and the overall outside."""
        edge = laid.at((laid.box[0], laid.box[1]))
        rows = [list(pairwise(places))]
        if len(places) > 2:
            rows.append([(places[0], places[-1])])
        for level, row in enumerate(rows, 1):
            off = level * PRINT.level + DRAIN_ROOM
            line = edge[1] + off if side == BOTTOM else edge[0] - off
            for first, second in row:
                ends = [
                    laid.at(
                        (one, laid.box[1]) if side == BOTTOM else (laid.box[0], one)
                    )
                    for one in (first, second)
                ]
                span_of = on_level(ends[0], ends[1], side, line)
                draw_dimension(self.sheet, span_of, self.letter(second - first))

    def section(self, section: Section, laid: _Laid) -> None:
        sheet = self.sheet
        for pan in section.pans:
            uncut = laid.ring(_tall(pan.whole))
            kept = [laid.ring(_tall(profile)) for profile in pan.kept]
            sheet.hatch(WASTE, [uncut, *kept])
            sheet.polygon(uncut, "hid")
            sheet.hatch(FOAM, kept)
        for profile in section.boards:
            sheet.hatch(BOARD, [laid.ring(_tall(profile))])
        for profile in section.bed:
            sheet.hatch(MORTAR, [laid.ring(_tall(profile))])
        for place, ticks in section.marks:
            at = laid.at((place, ticks * TALLER))
            self.height(at, ticks, laid, (place, ticks))
        for pan in section.pans:
            for profile in pan.kept:
                sheet.polygon(laid.ring(_tall(profile)), "trim")
        for profile in (*section.boards, *section.bed):
            sheet.polygon(laid.ring(_tall(profile)), "o")
        self.drain_mark(section, laid)
        places = {whole(place) for place, _ in section.marks} | set(laid.box[::2])
        self.chain(sorted(places), laid, BOTTOM)

    def drain_mark(self, section: Section, laid: _Laid) -> None:
        """Draw the drain's outlet under its place in the section."""
        x, y = laid.at((section.drain, 0))
        self.sheet.path([((x, y), (x, y + 10 * PX))], "trim")


def _tall(
    profile: Iterable[tuple[Fraction, Fraction]],
) -> list[tuple[Fraction, Fraction]]:
    return [(place, height * TALLER) for place, height in profile]


def _between(a: Point, b: Point, part: Fraction) -> Point:
    return a[0] + part * (b[0] - a[0]), a[1] + part * (b[1] - a[1])


def _ratio(slope: Fraction) -> str:
    return f"1 : {decimal_text(1 / slope, places=1)}" if slope > 0 else "level"

"""A sloped pan seen from above: what is kept, the trim line, what comes off, the falls.

The whole pan is dashed, the trim line heavy, the strips that come off are hatched and
those kept on the rack dotted. Chains of sizes run along the pan's sides.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from materials.core.drawing.chains import Measure, Rows, draw_rows, fit
from materials.core.drawing.dimensions import BOTTOM, LEFT, RIGHT, SIDES, TOP, outward
from materials.core.drawing.lettering import RAISED, SVG, length_words, words
from materials.core.drawing.pen import (
    SPARE,
    WASTE,
    Point,
    Ring,
    Sheet,
    distance,
    part,
)
from materials.core.drawing.records import Frame, Place
from materials.core.drawing.symbols import (
    Scale,
    draw_fall,
    draw_height,
    draw_linear_drain,
    draw_point_drain,
    draw_scale_bar,
)
from materials.core.errors import BadShape
from materials.core.lengths import INCH, MM, Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Drain:
    """A point drain, or a channel when it has an end."""

    at: Place
    end: Place | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Fall:
    """An arrow to the low end, with its ratio as words such as `1 : 48`."""

    start: Place
    low: Place
    word: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Height:
    """How high the pan stands at a place."""

    at: Place
    height: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class PanDrawing:
    """What a drawing of one pan shows; (0, 0) is its front left corner."""

    name: str
    sentence: str
    width: Length
    depth: Length
    kept: tuple[Place, ...]
    """The outline left after trimming, anticlockwise."""
    drain: Drain | None = None
    falls: tuple[Fall, ...] = ()
    folds: tuple[tuple[Place, Place], ...] = ()
    """Where the slopes meet; only what lies inside the trim line is drawn."""
    heights: tuple[Height, ...] = ()
    racked: tuple[tuple[Place, ...], ...] = ()
    """Trimmed strips that are kept."""


def draw_pan(pan: PanDrawing, frame: Frame) -> str:
    """Return a pan with its trim line, strips, falls and sizes, as SVG text.

    Rounds: lettered lengths to 1/16 in or 0.1 mm; points to 1/100 px.
    Raises: BadShape for a pan without size or a trim line that leaves nothing.
    """
    if pan.width.ticks <= 0 or pan.depth.ticks <= 0 or len(pan.kept) < 3:
        raise BadShape("A pan needs a width, a depth and an outline to keep.")
    whole = _whole(pan)
    rows = _pan_rows(pan, frame)
    laid = fit(whole, rows, frame)
    scale, size = laid.scale, laid.size
    sheet = Sheet(name=pan.name, size=size, sentence=pan.sentence, style=frame.style)
    outer, kept = scale.ring(whole), scale.ring(pan.kept)
    racked = [scale.ring(strip) for strip in pan.racked]
    sheet.polygon(outer, "of")
    sheet.hatch(WASTE, [outer, kept, *racked])
    if racked:
        sheet.hatch(SPARE, racked)
    sheet.polygon(outer, "hid")
    folds = [
        run
        for start, end in pan.folds
        for run in inside_runs(scale.at(*start), scale.at(*end), kept)
    ]
    sheet.path(folds, "f")
    sheet.polygon(kept, "trim")
    _draw_drain(sheet, scale, pan.drain)
    for fall in pan.falls:
        start, low = scale.at(*fall.start), scale.at(*fall.low)
        draw_fall(sheet, start, low, words(fall.word))
    _draw_heights(sheet, scale, pan, frame)
    draw_rows(sheet, laid, whole, rows)
    draw_scale_bar(sheet, scale, (size[0] - 14_00, size[1] - 14_00), frame.system)
    return sheet.svg()


def corner_folds(
    width: Length, depth: Length, drain: Place
) -> tuple[tuple[Place, Place], ...]:
    """Return the lines from a point drain to the pan's four corners."""
    wide, deep = width.ticks, depth.ticks
    return tuple(
        (drain, corner) for corner in ((0, 0), (wide, 0), (wide, deep), (0, deep))
    )


def inside_runs(start: Point, end: Point, ring: Ring) -> list[Ring]:
    """Return the stretches of a line that lie inside an outline.

    Method: crossings with every side, in order from the start, taken in pairs.
    """
    across, down = end[0] - start[0], end[1] - start[1]
    cuts = [] if not _is_inside(start, ring) else [start]
    for index, second in enumerate(ring):
        first = ring[index - 1]
        before = (first[0] - start[0]) * down - (first[1] - start[1]) * across
        after = (second[0] - start[0]) * down - (second[1] - start[1]) * across
        if (before < 0) == (after < 0):
            continue
        whole = before - after
        at = (
            first[0] + part(second[0] - first[0], before, whole),
            first[1] + part(second[1] - first[1], before, whole),
        )
        ahead = (at[0] - start[0]) * across + (at[1] - start[1]) * down
        if 0 < ahead < across * across + down * down:
            cuts.append(at)
    if _is_inside(end, ring):
        cuts.append(end)
    cuts.sort(key=lambda at: distance(start, at))
    return [(cuts[n], cuts[n + 1]) for n in range(0, len(cuts) - 1, 2)]


def _is_inside(at: Point, ring: Ring) -> bool:
    inside = False
    for index, second in enumerate(ring):
        first = ring[index - 1]
        if (first[1] > at[1]) == (second[1] > at[1]):
            continue
        rise = second[1] - first[1]
        side = (at[0] - first[0]) * rise - (second[0] - first[0]) * (at[1] - first[1])
        if (side < 0) == (rise > 0):
            inside = not inside
    return inside


def _whole(pan: PanDrawing) -> tuple[Place, ...]:
    wide, deep = pan.width.ticks, pan.depth.ticks
    return ((0, 0), (wide, 0), (wide, deep), (0, deep))


def _pan_rows(pan: PanDrawing, frame: Frame) -> Rows:
    rows: Rows = {side: [] for side in (*SIDES, "")}
    whole = _whole(pan)
    cuts: dict[str, set[int]] = {side: set() for side in (*SIDES, "")}
    for index, start in enumerate(pan.kept):
        end = pan.kept[(index + 1) % len(pan.kept)]
        side = outward(start, end)
        axis = 0 if side in (BOTTOM, TOP) else 1
        cuts[side] |= {start[axis], end[axis]}
    for side, across in ((TOP, BOTTOM), (LEFT, RIGHT)):
        axis = 0 if side == TOP else 1
        far = whole[2][axis]
        both = [_places(cuts[side], far), _places(cuts[across], far)]
        if len(both[0]) > 2:
            rows[side].append(_chain(both[0], side, whole, frame))
        if len(both[1]) > 2 and both[1] != both[0]:
            rows[across].append(_chain(both[1], across, whole, frame))
        rows[across].append(_chain([0, far], across, whole, frame))
    return rows


def _places(cuts: set[int], far: int) -> list[int]:
    return sorted({0, far} | {cut for cut in cuts if 0 < cut < far})


def _chain(
    places: list[int], side: str, whole: tuple[Place, ...], frame: Frame
) -> list[Measure]:
    setting = RAISED if frame.style.printed else SVG
    level = {BOTTOM: 0, RIGHT: whole[2][0], TOP: whole[2][1], LEFT: 0}[side]
    level_first = side in (LEFT, RIGHT)
    return [
        Measure(
            start=(level, first) if level_first else (first, level),
            end=(level, second) if level_first else (second, level),
            lettered=length_words(
                Length(second - first), system=frame.system, setting=setting, unit=False
            ),
        )
        for first, second in pairwise(places)
    ]


def _draw_drain(sheet: Sheet, scale: Scale, drain: Drain | None) -> None:
    if drain is None:
        return
    at = scale.at(*drain.at)
    if drain.end is None:
        draw_point_drain(sheet, at, max(scale.px(2 * INCH), 4_00))
    else:
        wide = max(scale.px(70 * MM), 5_00)
        draw_linear_drain(sheet, at, scale.at(*drain.end), wide)


def _draw_heights(sheet: Sheet, scale: Scale, pan: PanDrawing, frame: Frame) -> None:
    """Letter heights towards the middle of the pan, inside its trim line."""
    kept = scale.ring(pan.kept)
    left, right = min(x for x, _ in kept) + 9_00, max(x for x, _ in kept) - 9_00
    top, foot = min(y for _, y in kept) + 20_00, max(y for _, y in kept) - 6_00
    for mark in pan.heights:
        lettered = length_words(
            mark.height, system=frame.system, setting=sheet.setting, unit=False
        )
        x, y = scale.at(*mark.at)
        anchor = "start" if 2 * x <= left + right else "end"
        at = min(max(x, left), right), min(max(y, top), foot)
        draw_height(sheet, at, lettered, anchor=anchor)

"""The signs of a drawing: openings, drains, falls, heights, scale bars, key plans."""

from __future__ import annotations

from dataclasses import dataclass

from materials.core.drawing.lettering import width_of, words
from materials.core.drawing.pen import (
    Point,
    Ring,
    Sheet,
    along,
    direction,
    middle,
    part,
)
from materials.core.lengths import INCH, METRIC, MM


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """Where a point in ticks lies on the sheet: numerator ÷ denominator px a tick."""

    numerator: int
    denominator: int
    origin: Point
    """The sheet's point for (0, 0)."""

    def at(self, x: int, y: int) -> Point:
        """Return the sheet's point for a place in ticks, y up."""
        return self.origin[0] + self.px(x), self.origin[1] - self.px(y)

    def px(self, ticks: int) -> int:
        """Return a size in ticks as hundredths of a pixel, to the nearest."""
        return part(ticks, self.numerator, self.denominator)

    def ring(self, points: tuple[tuple[int, int], ...]) -> Ring:
        """Return an outline in ticks on the sheet."""
        return tuple(self.at(x, y) for x, y in points)


def draw_crossed(sheet: Sheet, ring: Ring) -> None:
    """Draw an opening or niche: its edge and, when four-sided, its diagonals."""
    sheet.polygon(ring, "ef")
    if len(ring) == 4:
        sheet.path([(ring[0], ring[2]), (ring[1], ring[3])], "f")


def draw_point_drain(sheet: Sheet, at: Point, radius: int) -> None:
    """Draw a round drain: two circles and a cross that stands out of them."""
    far = radius * 17 // 10
    sheet.circle(at, radius, "ef")
    sheet.circle(at, radius * 55 // 100, "f")
    sheet.path(
        [
            ((at[0] - far, at[1]), (at[0] + far, at[1])),
            ((at[0], at[1] - far), (at[0], at[1] + far)),
        ],
        "f",
    )


def draw_linear_drain(sheet: Sheet, start: Point, end: Point, wide: int) -> None:
    """Draw a drain channel: a double line, dashed along its middle."""
    way = direction(start, end)
    out = way[1], -way[0]
    half = wide // 2
    sheet.polygon(
        (
            along(start, out, half),
            along(end, out, half),
            along(end, out, -half),
            along(start, out, -half),
        ),
        "ef",
    )
    sheet.line(along(start, way, half), along(end, way, -half), "hid")


def draw_fall(sheet: Sheet, start: Point, low: Point, lettered: str = "") -> None:
    """Draw a thin arrow to the low end, with its ratio above when given."""
    way = direction(start, low)
    out = way[1], -way[0]
    neck = along(low, way, -8_00)
    sheet.line(start, low, "f")
    sheet.polygon((low, along(neck, out, 2_40), along(neck, out, -2_40)), "solid")
    if lettered:
        at = middle(start, low)
        sheet.text((at[0], at[1] - 4_00), lettered, "t2")


def draw_height(
    sheet: Sheet, at: Point, lettered: str, *, anchor: str = "start"
) -> None:
    """Draw a height: a small triangle standing on the point, its figure beside it."""
    beside = 8_00 if anchor == "start" else -8_00
    sheet.open("lev")
    sheet.polygon((at, (at[0] - 4_00, at[1] - 7_00), (at[0] + 4_00, at[1] - 7_00)), "e")
    foot = at[0] + beside, at[1] - 1_00
    if sheet.style.printed:
        _clear(sheet, foot, lettered, anchor)
    sheet.text(foot, lettered, anchor=anchor)
    sheet.close()


def _clear(sheet: Sheet, foot: Point, lettered: str, anchor: str) -> None:
    """Lay paper under a text: the PDF engine knows no halo."""
    letter = sheet.style.letter
    wide = width_of(lettered, letter)
    left = foot[0] - 1_00 if anchor == "start" else foot[0] - wide - 1_00
    right, top, low = left + wide + 2_00, foot[1] - letter * 3 // 4, foot[1] + 1_00
    sheet.polygon(((left, top), (right, top), (right, low), (left, low)), "disc")


def draw_leader(sheet: Sheet, at: Point, to: Point, lettered: str) -> None:
    """Draw a leader from a dot in a narrow piece to its letters outside."""
    sheet.line(at, to, "f")
    sheet.circle(at, 1_60, "solid")
    right = to[0] >= at[0]
    sheet.text(
        (to[0] + (2_00 if right else -2_00), to[1] + 4_00),
        lettered,
        anchor="start" if right else "end",
    )


def draw_chalk_line(sheet: Sheet, start: Point, end: Point) -> None:
    """Draw a chalk line to set out by."""
    sheet.line(start, end, "cl")


_BARS = {
    METRIC: (
        (100 * MM, 10, "100 mm"),
        (200 * MM, 10, "200 mm"),
        (500 * MM, 10, "500 mm"),
        (1_000 * MM, 10, "1 m"),
        (2_000 * MM, 10, "2 m"),
        (5_000 * MM, 10, "5 m"),
        (10_000 * MM, 10, "10 m"),
        (20_000 * MM, 10, "20 m"),
    ),
    "imperial": (
        (6 * INCH, 6, "6″"),
        (12 * INCH, 4, "1′"),
        (24 * INCH, 8, "2′"),
        (48 * INCH, 8, "4′"),
        (96 * INCH, 8, "8′"),
        (192 * INCH, 8, "16′"),
        (384 * INCH, 8, "32′"),
        (768 * INCH, 8, "64′"),
    ),
}


def draw_scale_bar(
    sheet: Sheet, scale: Scale, right_foot: Point, system: str, most: int = 96_00
) -> None:
    """Draw a piece of tape at the drawing's scale, its right end at a point.

    Method: the longest of the usual bars that is no wider than `most`; the shortest
    when none is.
    """
    bars = _BARS[METRIC if system == METRIC else "imperial"]
    fitting = [bar for bar in bars if scale.px(bar[0]) <= most]
    ticks, steps, word = fitting[-1] if fitting else bars[0]
    wide = scale.px(ticks)
    left, foot = right_foot[0] - wide, right_foot[1]
    sheet.line((left, foot), right_foot, "e")
    marks: list[Ring] = []
    for step in range(steps + 1):
        x = left + part(wide, step, steps)
        high = 9_00 if step in (0, steps) else 6_00 if 2 * step == steps else 3_50
        marks.append(((x, foot), (x, foot - high)))
    sheet.path(marks, "f")
    sheet.text((left, foot + 11_00), "0", "t2")
    if len(word) > 3:
        sheet.text((right_foot[0] + 8_00, foot + 11_00), word, "t2", anchor="end")
    else:
        sheet.text((right_foot[0], foot + 11_00), word, "t2")


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyPlan:
    """A small plan of the room with the wall in question drawn heavy."""

    outline: tuple[tuple[int, int], ...]
    heavy: int
    """Which side of the outline, counted from nought."""
    open_sides: tuple[int, ...] = ()
    letters: tuple[str, ...] = ()


def draw_key_plan(sheet: Sheet, plan: KeyPlan, corner: Point, box: int) -> None:
    """Draw a key plan inside a square box whose top left corner is given."""
    xs = [x for x, _ in plan.outline]
    ys = [y for _, y in plan.outline]
    widest = max(max(xs) - min(xs), max(ys) - min(ys), 1)
    scale = Scale(numerator=box, denominator=widest, origin=(0, 0))
    shifted = Scale(
        numerator=box,
        denominator=widest,
        origin=(corner[0] - scale.px(min(xs)), corner[1] + scale.px(max(ys))),
    )
    ring = shifted.ring(plan.outline)
    inside = (
        sum(x for x, _ in ring) // len(ring),
        sum(y for _, y in ring) // len(ring),
    )
    for index, start in enumerate(ring):
        end = ring[(index + 1) % len(ring)]
        heavy = index == plan.heavy
        kind = "o" if heavy else "hid" if index in plan.open_sides else "e"
        sheet.line(start, end, kind)
        if index < len(plan.letters) and plan.letters[index]:
            out = direction(inside, middle(start, end))
            at = along(middle(start, end), out, 9_00)
            lettered = words(plan.letters[index])
            sheet.text((at[0], at[1] + 4_00), lettered, "tl" if heavy else "t2")

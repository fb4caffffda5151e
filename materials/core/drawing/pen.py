"""A sheet to draw on: points, lines, lettering and hatches become SVG text.

Points are whole hundredths of a pixel, x to the right and y down. Directions are
unit vectors in ten-thousandths.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import isqrt

from materials.core.drawing.lettering import RAISED, SVG, words
from materials.core.drawing.style import PX, Style

Point = tuple[int, int]
Ring = tuple[Point, ...]

UNIT = 10_000
"""Parts of a unit vector."""

WHOLE = ""
CUT = "cut"
REUSED = "reused"
WASTE = "waste"
SPARE = "spare"
MORTAR = "mortar"
FOAM = "foam"
BOARD = "board"
HATCHES = (CUT, REUSED, WASTE, SPARE, MORTAR, FOAM, BOARD)

_CELLS = {
    CUT: (5, '<path class="h1" d="M-1 6L6 -1M-1 1L1 -1M4 6L6 4"/>'),
    REUSED: (
        5,
        '<path class="h2" d="M-1 6L6 -1M-1 1L1 -1M4 6L6 4'
        'M-1 -1L6 6M4 -1L6 1M-1 4L1 6"/>',
    ),
    WASTE: (11, '<path class="h3" d="M-1 12L12 -1M-1 1L1 -1M10 12L12 10"/>'),
    SPARE: (6, '<circle class="hd" cx="3" cy="3" r=".6"/>'),
    MORTAR: (
        9,
        '<circle class="hd" cx="2" cy="2" r=".7"/><circle class="hd" cx="6.4" cy="5" '
        'r=".9"/><circle class="hd" cx="3.2" cy="7.6" r=".5"/>',
    ),
    FOAM: (
        8,
        '<circle class="h3" cx="2" cy="2" r="1.5"/>'
        '<circle class="h3" cx="6" cy="6" r="1.5"/>',
    ),
    BOARD: (4, '<path class="h3" d="M0 2H4"/>'),
}
# kind -> class, step in hundredths of a pixel, ways (1 rising, -1 falling, 0 level)
_CLIPPED = {
    CUT: ("h1", 5 * PX, (1,)),
    REUSED: ("h2", 5 * PX, (1, -1)),
    WASTE: ("h3", 11 * PX, (1,)),
    BOARD: ("h3", 4 * PX, (0,)),
}
# kind -> step in hundredths of a pixel, radius, class
_DOTTED = {
    SPARE: (6 * PX, 60, "hd"),
    MORTAR: (5 * PX, 70, "hd"),
    FOAM: (6 * PX, 1_50, "h3"),
}


def number(value: int) -> str:
    """Return hundredths as SVG reads them: `1250` is `12.5`.

    >>> number(-5)
    '-.05'
    """
    sign = "-" if value < 0 else ""
    whole, rest = divmod(abs(value), PX)
    tail = f".{rest:02d}".rstrip("0") if rest else ""
    return f"{sign}{whole if whole or not tail else ''}{tail}"


def part(value: int, numerator: int, denominator: int) -> int:
    """Return `value` × numerator ÷ denominator to the nearest whole, halves up."""
    return (2 * value * numerator + denominator) // (2 * denominator)


def direction(start: Point, end: Point) -> Point:
    """Return the unit vector from one point to another, in ten-thousandths.

    Shape: (10000, 0) when the points coincide, so that nothing divides by zero.
    """
    across, down = end[0] - start[0], end[1] - start[1]
    long = isqrt(across * across + down * down)
    if long == 0:
        return UNIT, 0
    return part(across, UNIT, long), part(down, UNIT, long)


def distance(start: Point, end: Point) -> int:
    """Return the distance between two points, rounded down."""
    across, down = end[0] - start[0], end[1] - start[1]
    return isqrt(across * across + down * down)


def along(start: Point, way: Point, far: int) -> Point:
    """Return the point `far` from `start` in a direction."""
    return start[0] + part(far, way[0], UNIT), start[1] + part(far, way[1], UNIT)


def middle(start: Point, end: Point) -> Point:
    """Return the point halfway."""
    return (start[0] + end[0]) // 2, (start[1] + end[1]) // 2


class Sheet:
    """One drawing being made; `svg` returns it."""

    def __init__(self, *, name: str, size: Point, sentence: str, style: Style) -> None:
        self.name = name
        self.size = size
        self.sentence = sentence
        self.style = style
        self._parts: list[str] = []
        self._hatches: list[str] = []

    @property
    def setting(self) -> str:
        """How fractions are set on this sheet."""
        return RAISED if self.style.printed else SVG

    def add(self, markup: str) -> None:
        """Add a ready element."""
        self._parts.append(markup)

    def polygon(self, ring: Ring, kind: str) -> None:
        """Draw a closed outline."""
        points = " ".join(f"{number(x)},{number(y)}" for x, y in ring)
        self.add(f'<polygon class="{kind}" points="{points}"/>')

    def path(self, runs: list[Ring], kind: str) -> None:
        """Draw open runs of points as one path; nothing when there are none."""
        if runs:
            self.add(f'<path class="{kind}" d="{"".join(_run(run) for run in runs)}"/>')

    def rings(self, rings: list[Ring], kind: str) -> None:
        """Draw closed outlines as one path; nothing when there are none."""
        if rings:
            self.add(f'<path class="{kind}" d="{stepped(rings, closed=True)}"/>')

    def steps(self, runs: list[Ring], kind: str) -> None:
        """Draw many open runs as one path in its shortest spelling."""
        if runs:
            self.add(f'<path class="{kind}" d="{stepped(runs, closed=False)}"/>')

    def line(self, start: Point, end: Point, kind: str) -> None:
        """Draw one straight line."""
        self.path([(start, end)], kind)

    def circle(self, at: Point, radius: int, kind: str) -> None:
        """Draw a circle."""
        self.add(
            f'<circle class="{kind}" cx="{number(at[0])}" cy="{number(at[1])}" '
            f'r="{number(radius)}"/>'
        )

    def text(
        self,
        at: Point,
        lettered: str,
        kind: str = "",
        *,
        anchor: str = "middle",
        way: Point = (UNIT, 0),
    ) -> None:
        """Letter a text, along a direction when it is not level.

        `lettered` is markup: pass names through `lettering.words` first.
        """
        mark = f' class="{kind}"' if kind else ""
        if abs(way[1]) < 60 and way[0] > 0:
            place = f'x="{number(at[0])}" y="{number(at[1])}"'
        else:
            turn = " ".join(_unit(v) for v in (way[0], way[1], -way[1], way[0]))
            place = f'transform="matrix({turn} {number(at[0])} {number(at[1])})"'
        self.add(f'<text{mark} {place} text-anchor="{anchor}">{lettered}</text>')

    def open(self, kind: str) -> None:
        """Open a group; close it again with `close`."""
        self.add(f'<g class="{kind}">')

    def close(self) -> None:
        """Close the group opened last."""
        self.add("</g>")

    def hatch(self, kind: str, rings: list[Ring]) -> None:
        """Hatch the area inside an odd number of the rings.

        On screen by a named pattern; in print by lines cut to the outline, because
        repeated cells leave seams in viewers.
        """
        if not kind:
            return
        if self.style.printed:
            self._clipped(kind, rings)
            return
        if kind not in self._hatches:
            self._hatches.append(kind)
        data = stepped(rings, closed=True)
        self.add(
            f'<path fill="url(#{self.name}-{kind})" fill-rule="evenodd" d="{data}"/>'
        )

    def _clipped(self, kind: str, rings: list[Ring]) -> None:
        if kind in _CLIPPED:
            mark, step, ways = _CLIPPED[kind]
            runs = [run for way in ways for run in hatch_lines(rings, step, way)]
            self.steps(
                [tuple((tenth(x), tenth(y)) for x, y in run) for run in runs], mark
            )
            return
        step, radius, mark = _DOTTED[kind]
        for at in hatch_dots(rings, step):
            self.circle(at, radius, mark)

    def svg(self) -> str:
        """Return the whole drawing, with its sentence for those who cannot see it."""
        width, height = number(self.size[0]), number(self.size[1])
        own = f"<style>{self.style.own_css}</style>" if self.style.printed else ""
        cells = "".join(self._cell(kind) for kind in self._hatches)
        defs = f"<defs>{cells}</defs>" if cells else ""
        return (
            f'<svg class="dwg" xmlns="http://www.w3.org/2000/svg" '
            f'viewBox="0 0 {width} {height}" width="{width}" height="{height}" '
            f'role="img" aria-label="{words(self.sentence)}">'
            f"{own}{defs}{''.join(self._parts)}</svg>"
        )

    def _cell(self, kind: str) -> str:
        side, body = _CELLS[kind]
        return (
            f'<pattern id="{self.name}-{kind}" width="{side}" height="{side}" '
            f'patternUnits="userSpaceOnUse">{body}</pattern>'
        )


def hatch_lines(rings: list[Ring], step: int, way: int) -> list[Ring]:
    """Return straight runs inside the rings, `step` apart across the page.

    Shape: `way` 1 rises to the right at 45°, -1 falls, 0 is level; each run is two
    points. An area covered twice is left empty, as with a hole in an outline.
    Method: even-odd crossings of each line x + way·y = constant, in one phase over
    the whole sheet, so that neighbouring pieces join up; time grows with the runs.
    """
    cuts: dict[int, list[Point]] = {}
    for ring in rings:
        for index, end in enumerate(ring):
            _add_crossings(cuts, (ring[index - 1], end), step, way)
    runs: list[Ring] = []
    for level in sorted(cuts):
        points = sorted(cuts[level])
        runs.extend(
            (first, second)
            for first, second in zip(points[::2], points[1::2], strict=True)
        )
    return runs


def hatch_dots(rings: list[Ring], step: int) -> list[Point]:
    """Return a staggered field of dots inside the rings."""
    dots = []
    for start, end in hatch_lines(rings, step, 0):
        odd = start[1] // step % 2
        at = -(-(start[0] - odd * step // 2) // step) * step + odd * step // 2
        while at < end[0]:
            dots.append((at, start[1]))
            at += step
    return dots


def _across(point: Point, way: int) -> int:
    return point[0] + way * point[1] if way else point[1]


def _add_crossings(
    cuts: dict[int, list[Point]], side: tuple[Point, Point], step: int, way: int
) -> None:
    """Add where the hatch lines cross one side; its lower end counts, not its upper."""
    start, end = side
    first, last = _across(start, way), _across(end, way)
    low, high = min(first, last), max(first, last)
    for level in range(-(-low // step) * step, high, step):
        cuts.setdefault(level, []).append(
            (
                start[0] + part(end[0] - start[0], level - first, last - first),
                start[1] + part(end[1] - start[1], level - first, last - first),
            )
        )


def _run(run: Ring) -> str:
    steps = "L".join(f"{number(x)} {number(y)}" for x, y in run)
    return f"M{steps}"


def tenth(value: int) -> int:
    """Return hundredths of a pixel on the nearest tenth, halves up."""
    return (value + 5) // 10 * 10


def stepped(runs: Sequence[Ring], *, closed: bool) -> str:
    """Return outlines in the shortest spelling: steps from point to point.

    >>> stepped([((100, 100), (900, 100), (900, 550))], closed=True)
    'M1 1h8v4.5z'
    """
    at: Point | None = None
    steps: list[str] = []
    for run in runs:
        first = run[0]
        if at is None:
            steps.append(f"M{_pair(*first)}")
        else:
            steps.append(f"m{_pair(first[0] - at[0], first[1] - at[1])}")
        for before, after in pairwise(run):
            across, down = after[0] - before[0], after[1] - before[1]
            if across and down:
                steps.append(f"l{_pair(across, down)}")
            elif across:
                steps.append(f"h{number(across)}")
            elif down:
                steps.append(f"v{number(down)}")
        if closed:
            steps.append("z")
        at = first if closed else run[-1]
    return "".join(steps)


def _pair(across: int, down: int) -> str:
    return f"{number(across)}{'' if down < 0 else ' '}{number(down)}"


def _unit(value: int) -> str:
    sign = "-" if value < 0 else ""
    whole, rest = divmod(abs(value), UNIT)
    tail = f".{rest:04d}".rstrip("0") if rest else ""
    return f"{sign}{whole if whole or not tail else ''}{tail}"

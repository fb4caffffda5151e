"""Where a row of tiles should begin: one axis, the edges on it, the smallest cut.

Along one axis a wall is a few edges: where tiling begins and where it ends, at walls,
niches and windows. A row of tiles stands on a line, one module (tile and joint) after
the other, and each edge cuts the tile it falls in. Surfaces that share the axis, such
as three walls that share their courses, are just more edges.

Units: ticks. Exact where no cut is too small to count, else to within that `slack`: the
smallest cut, as a function of the line, is made of straight pieces that rise or fall by
one, so its best lies where an edge meets the side of a tile, or half-way between such
places of two edges.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from quotes.core.geometry import TickRing


@dataclass(frozen=True, slots=True)
class Edge:
    """A place on the axis where tiling begins (to the right, or up) or ends."""

    at: int
    begins: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """Tiles along an axis: their size, the joint, and how rows are moved along.

    `shifts` are the moves of the rows of a bond, in ticks; nought alone for a stack.
    Cuts no wider than `slack` are none: nobody makes them.
    """

    tile: int
    joint: int
    shifts: tuple[int, ...] = (0,)
    slack: int = 0

    @property
    def module(self) -> int:
        """Tile and joint."""
        return self.tile + self.joint

    def cut(self, edge: Edge, line: int) -> int:
        """Return the smallest cut an edge leaves in any row; a whole tile without one.

        `line` is where some tile of the first row begins.
        """
        return min(self._cut(edge, line + shift) for shift in self.shifts)

    def _cut(self, edge: Edge, line: int) -> int:
        within = (edge.at - line) % self.module
        if within <= self.slack or within >= self.tile - self.slack:
            return self.tile
        return self.tile - within if edge.begins else within

    def smallest(self, edges: Iterable[Edge], line: int) -> int:
        """Return the smallest cut of all edges; a whole tile without edges."""
        return min((self.cut(edge, line) for edge in edges), default=self.tile)


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """Where a tile begins, from the axis' nought, and the smallest cut it leaves."""

    at: int
    smallest: int


def best_line(row: Row, edges: Sequence[Edge], *, grain: int = 1) -> Line:
    """Return the line that leaves the largest smallest cut.

    The line is a whole number of `grain` ticks, so that a tape can find it.

    Shape: 0 ≤ `at` < module + grain; the lowest of equals.
    Method: every line where the smallest cut may turn, to the grain below and above.
    """
    module = row.module
    turns = {0}
    marks = sorted(
        {
            (edge.at - shift - side) % module
            for edge in edges
            for shift in row.shifts
            for side in (0, row.tile)
        }
    )
    for first in marks:
        for second in marks:
            # Half-way between two, and half-way the other way round.
            turns |= {(first + second) // 2, (first + second + module) // 2}
    lines = {
        step
        for turn in turns
        for step in (
            turn % module // grain * grain,
            -(-(turn % module) // grain) * grain,
        )
    }
    return max(
        (Line(at=line, smallest=row.smallest(edges, line)) for line in lines),
        key=lambda one: (one.smallest, -one.at),
    )


def edges_of(
    outer: TickRing, holes: Iterable[TickRing], *, axis: int
) -> tuple[Edge, ...]:
    """Return the edges of an outline and its holes across one axis (0 x, 1 y).

    Only sides at right angles to the axis count; the outline runs counter-clockwise.
    A hole's sides may run either way.
    """
    found = []
    for ring, is_hole in ((outer, False), *((hole, True) for hole in holes)):
        middle = sum(corner[axis] for corner in ring)
        for first, second in zip(ring, (*ring[1:], ring[0]), strict=True):
            if first[axis] != second[axis]:
                continue
            if is_hole:
                begins = first[axis] * len(ring) > middle
            else:
                along = second[1 - axis] - first[1 - axis]
                # Counter-clockwise, tiling lies to the left of every side.
                begins = along < 0 if axis == 0 else along > 0
            found.append(Edge(at=first[axis], begins=begins))
    return tuple(dict.fromkeys(found))


def best_shift(
    row: Row,
    opening: tuple[int, int],
    line: int,
    *,
    reach: tuple[int, int],
    grain: int,
) -> tuple[int, int]:
    """Return how far an opening should move, and the cut beside it then.

    `opening` is where it begins and ends, with tile on both sides; it moves by a whole
    number of `grain`, from the first of `reach` (below nought) to the second.

    Method: the same turning places as `best_line`, of the two edges and their middle.
    """
    (low, high), (least, most), module = opening, reach, row.module
    turns = {0, least, most}
    for shift in row.shifts:
        begin = line + shift
        base = [begin + side - edge for side in (0, row.tile) for edge in (low, high)]
        for other in row.shifts:
            base.append((begin + line + other + row.tile - low - high) // 2)
            base.append((begin + line + other + row.tile + module - low - high) // 2)
        for one in base:
            first = least + (one - least) % module
            turns |= set(range(first, most + 1, module))
    moves = {
        step
        for turn in turns
        for step in (turn // grain * grain, -(-turn // grain) * grain)
        if least <= step <= most
    }

    def cut(move: int) -> int:
        edges = (Edge(low + move, begins=False), Edge(high + move, begins=True))
        return row.smallest(edges, line)

    best = max(moves, key=lambda move: (cut(move), -abs(move), move))
    return best, cut(best)

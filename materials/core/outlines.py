"""Outlines as rings of whole ticks: area, sides, cutting along a straight line.

A ring lists its corners without repeating the first. The solid lies on the left: an
outline runs counter-clockwise, a hole clockwise. Everything is exact but the point
where a slanting side meets a cutting line, which goes to the nearest tick once.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import isqrt

from materials.core.areas import Area
from materials.core.lengths import Length
from materials.core.quantities import half_up

Point = tuple[int, int]
Ring = tuple[Point, ...]

LEFT_OF = "left_of"
RIGHT_OF = "right_of"
BELOW = "below"
ABOVE = "above"
SIDES = (LEFT_OF, RIGHT_OF, BELOW, ABOVE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One connected part: its outline and the holes in it."""

    outline: Ring
    holes: tuple[Ring, ...] = ()

    @property
    def area(self) -> Area:
        """The area less the holes, exactly (a half square tick is dropped)."""
        return ring_area(self.outline) - sum(
            (ring_area(hole) for hole in self.holes), start=Area(0)
        )


def doubled_area(ring: Sequence[Point]) -> int:
    """Return twice the signed area of a ring in square ticks, exactly.

    Positive counter-clockwise.
    """
    following = (*ring[1:], ring[0])
    return sum(
        x * next_y - next_x * y
        for (x, y), (next_x, next_y) in zip(ring, following, strict=True)
    )


def ring_area(ring: Sequence[Point]) -> Area:
    """Return the area inside a ring; half a square tick is dropped."""
    return Area(abs(doubled_area(ring)) // 2)


def outline_ring(ring: Sequence[Point]) -> Ring:
    """Return the ring counter-clockwise, beginning at the same corner."""
    if doubled_area(ring) >= 0:
        return tuple(ring)
    return (ring[0], *reversed(ring[1:]))


def hole_ring(ring: Sequence[Point]) -> Ring:
    """Return the ring clockwise, beginning at the same corner."""
    if doubled_area(ring) <= 0:
        return tuple(ring)
    return (ring[0], *reversed(ring[1:]))


def rectangle(left: int, bottom: int, right: int, top: int) -> Ring:
    """Return an upright rectangle, counter-clockwise from its lower left."""
    return ((left, bottom), (right, bottom), (right, top), (left, top))


def side_length(start: Point, end: Point) -> Length:
    """Return the length of a side, to the nearest tick."""
    across, upright = end[0] - start[0], end[1] - start[1]
    if across == 0 or upright == 0:
        return Length(abs(across) + abs(upright))
    doubled = isqrt(4 * (across * across + upright * upright))
    return Length((doubled + 1) // 2)


def sides_of(ring: Sequence[Point]) -> list[tuple[Point, Point]]:
    """Return the sides of a ring as (start, end), in order."""
    return list(zip(ring, (*ring[1:], ring[0]), strict=True))


def perimeter(ring: Sequence[Point]) -> Length:
    """Return the length round a ring, each side to the nearest tick."""
    return sum((side_length(a, b) for a, b in sides_of(ring)), start=Length(0))


def is_left_turn(before: Point, corner: Point, after: Point) -> int:
    """Return above 0 for a left turn at the corner, 0 for straight on, below 0."""
    return (corner[0] - before[0]) * (after[1] - corner[1]) - (
        corner[1] - before[1]
    ) * (after[0] - corner[0])


def without_straight_corners(ring: Sequence[Point]) -> Ring:
    """Return the ring without repeated corners and corners on a straight line."""
    kept = list(ring)
    changed = True
    while changed and len(kept) >= 3:
        changed = False
        for index, corner in enumerate(kept):
            before, after = kept[index - 1], kept[(index + 1) % len(kept)]
            if corner == before or is_left_turn(before, corner, after) == 0:
                del kept[index]
                changed = True
                break
    return tuple(kept)


def holds(ring: Sequence[Point], point: Point) -> bool:
    """Return whether a point lies inside a ring or on it. Exact."""
    x, y = point
    inside = False
    for (x1, y1), (x2, y2) in sides_of(ring):
        turn = (x2 - x1) * (y - y1) - (y2 - y1) * (x - x1)
        if (
            turn == 0
            and min(x1, x2) <= x <= max(x1, x2)
            and min(y1, y2) <= y <= max(y1, y2)
        ):
            return True
        if (y1 > y) != (y2 > y) and (turn > 0) == (y2 > y1):
            inside = not inside
    return inside


def cut_along(pieces: Sequence[Piece], side: str, at: int) -> tuple[Piece, ...]:
    """Return what of the pieces lies on one side of a level or plumb line.

    `side` is left_of, right_of, below or above; `at` the line's place in ticks.
    Shape: connected parts, outlines counter-clockwise, holes clockwise.
    Rounds: a slanting side's meeting with the line to the nearest tick.
    """
    turn, back, line = _frame(side, at)
    parts: list[Piece] = []
    for piece in pieces:
        rings = [outline_ring(piece.outline), *map(hole_ring, piece.holes)]
        kept = _below([tuple(map(turn, ring)) for ring in rings], line)
        parts += _assembled([tuple(map(back, ring)) for ring in kept])
    return tuple(parts)


def within(
    pieces: Sequence[Piece],
    *,
    left: int | None = None,
    bottom: int | None = None,
    right: int | None = None,
    top: int | None = None,
) -> tuple[Piece, ...]:
    """Return what of the pieces lies inside an upright rectangle, open where None."""
    found = tuple(pieces)
    for side, at in ((RIGHT_OF, left), (ABOVE, bottom), (LEFT_OF, right), (BELOW, top)):
        if at is not None:
            found = cut_along(found, side, at)
    return found


def _frame(
    side: str, at: int
) -> tuple[Callable[[Point], Point], Callable[[Point], Point], int]:
    """Return the turn that makes a side "below", its inverse, and the line."""
    if side == BELOW:
        return (lambda p: p), (lambda p: p), at
    if side == ABOVE:
        return (lambda p: (-p[0], -p[1])), (lambda p: (-p[0], -p[1])), -at
    if side == LEFT_OF:
        return (lambda p: (-p[1], p[0])), (lambda p: (p[1], -p[0])), at
    return (lambda p: (p[1], -p[0])), (lambda p: (-p[1], p[0])), -at


def _below(rings: Sequence[Ring], line: int) -> list[Ring]:
    """Return the rings of what lies below a level line.

    Method: corners on the line count as above. Each run of corners below becomes a
    chain from the line to the line; along the line, with the solid below on the left,
    a chain's end joins the nearest chain beginning to its left.
    """
    kept: list[Ring] = []
    chains: list[list[Point]] = []
    for ring in rings:
        below = [y < line for _, y in ring]
        if all(below):
            kept.append(ring)
        elif any(below):
            chains += _chains(ring, below, line)
    while chains:
        ring_points = chains.pop(0)
        while True:
            end = ring_points[-1][0]
            starts = [
                (chain[0][0], index)
                for index, chain in enumerate(chains)
                if chain[0][0] <= end
            ]
            nearest = max(starts, default=None)
            own = ring_points[0][0]
            if nearest is None or (own <= end and own >= nearest[0]):
                break
            ring_points += chains.pop(nearest[1])
        clean = without_straight_corners(ring_points)
        if len(clean) >= 3 and doubled_area(clean):
            kept.append(clean)
    return kept


def _chains(ring: Ring, below: Sequence[bool], line: int) -> list[list[Point]]:
    count = len(ring)
    first = next(i for i in range(count) if below[i] and not below[i - 1])
    chains: list[list[Point]] = []
    for step in range(count):
        index = (first + step) % count
        after = (index + 1) % count
        if not below[index]:
            continue
        if not below[index - 1]:
            chains.append([_meeting(ring[index - 1], ring[index], line)])
        chains[-1].append(ring[index])
        if not below[after]:
            chains[-1].append(_meeting(ring[after], ring[index], line))
    return chains


def _meeting(above: Point, below: Point, line: int) -> Point:
    """Return where a side meets the line, to the nearest tick along it."""
    rise = above[1] - below[1]
    share = Fraction((above[0] - below[0]) * (line - below[1]), rise)
    return below[0] + int(half_up(share)), line


def _assembled(rings: Sequence[Ring]) -> list[Piece]:
    outlines = [ring for ring in rings if doubled_area(ring) > 0]
    holes = [ring for ring in rings if doubled_area(ring) < 0]
    return [
        Piece(
            outline=outline,
            holes=tuple(
                hole for hole in holes if all(holds(outline, point) for point in hole)
            ),
        )
        for outline in outlines
    ]

"""Move the niche seventeen millimetres left: what an opening's place does to its cuts.

Before a wall is framed an opening can still move a little. Within a reach it is moved
to where the smallest cut beside it is largest; the advice is given only where the count
of the whole part, with the opening there, leaves no smaller cut than before.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from materials.core.lengths import INCH, MM, Length
from materials.core.need import MaterialFacts
from quotes.core.geometry import TickRing
from quotes.core.joint_rules import NICHE_REACH
from quotes.core.layout.counting import count
from quotes.core.layout.lines import Edge, Row, best_shift
from quotes.core.layout.records import Rules, Surface, Tally
from quotes.core.layout.search import rough_size
from quotes.core.set_out_choices import part_surface
from quotes.core.taken import LayerUse
from quotes.core.through import straight_rows

WORTH = {"metric": 5 * MM, "imperial": INCH // 4}
"""A cut must grow by so much before anybody is asked to move an opening."""

STEP = {"metric": MM, "imperial": INCH // 16}


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """How far to move one opening, and the narrowest strip there before and after.

    `left` and `bottom` are where it stands, from the part's lower left; `right` and
    `up` are how far it should move, below nought for left and down. The strips are
    those on the sides it moves towards and from. Units: ticks.
    """

    left: int
    bottom: int
    width: int
    height: int
    right: int
    up: int
    cut: int
    cut_then: int


def niche_advice(
    part: LayerUse,
    tally: Tally,
    material: MaterialFacts,
    *,
    system: str,
    reach: Length = NICHE_REACH,
) -> tuple[Advice, ...]:
    """Return the openings of a set-out part that would do better a little aside.

    None is moved further than `reach`; a reach of nought asks for nothing.

    Shape: none for patterns that do not run in straight rows along the walls.
    """
    rows = straight_rows(part, material)
    if rows is None:
        return ()
    surface = part_surface(part)
    found = []
    for at, hole in enumerate(surface.holes):
        if len(hole) == 4 and _is_upright(hole):
            advice = _advice(surface, at, tally, rows, (system, reach.ticks))
            found += [advice] if advice else []
    return tuple(found)


def _is_upright(ring: TickRing) -> bool:
    return len({x for x, _ in ring}) == 2 and len({y for _, y in ring}) == 2


def _advice(
    surface: Surface,
    at: int,
    tally: Tally,
    rows: tuple[Row, Row],
    limits: tuple[str, int],
) -> Advice | None:
    system, reach = limits
    hole = surface.holes[at]
    ends = [(min(c[axis] for c in hole), max(c[axis] for c in hole)) for axis in (0, 1)]
    moves, cuts, then = [0, 0], [0, 0], [0, 0]
    for axis in (0, 1):
        low, high = ends[axis]
        line = tally.set_out.origin[axis]
        edges = Edge(low, begins=False), Edge(high, begins=True)
        cuts[axis] = then[axis] = rows[axis].smallest(edges, line)
        move, cut = best_shift(
            rows[axis],
            ends[axis],
            line,
            reach=_room(surface, at, axis, reach),
            grain=STEP[system],
        )
        if cut - cuts[axis] >= WORTH[system]:
            moves[axis], then[axis] = move, cut
    if moves == [0, 0] or not _is_no_worse(surface, at, tally, (moves[0], moves[1])):
        return None
    moved = [axis for axis in (0, 1) if moves[axis]]
    (left, right), (bottom, top) = ends
    x, y = (min(corner[axis] for corner in surface.outer) for axis in (0, 1))
    return Advice(
        left=left - x, bottom=bottom - y, width=right - left, height=top - bottom,
        right=moves[0], up=moves[1], cut=min(cuts[axis] for axis in moved),
        cut_then=min(then[axis] for axis in moved),
    )  # fmt: skip


def _room(surface: Surface, at: int, axis: int, reach: int) -> tuple[int, int]:
    """Return how far down and up an axis an opening can move and stay clear."""
    hole, other = surface.holes[at], 1 - axis
    low, high = min(c[axis] for c in hole), max(c[axis] for c in hole)
    across = min(c[other] for c in hole), max(c[other] for c in hole)
    least, most = -reach, reach
    for ring in (surface.outer, *(h for n, h in enumerate(surface.holes) if n != at)):
        for first, second in zip(ring, (*ring[1:], ring[0]), strict=True):
            if max(first[other], second[other]) < across[0] - reach:
                continue
            if min(first[other], second[other]) > across[1] + reach:
                continue
            for corner in (first, second):
                if corner[axis] >= high:
                    most = min(most, (corner[axis] - high) // 2)
                elif corner[axis] <= low:
                    least = max(least, -((low - corner[axis]) // 2))
    return least, most


def _is_no_worse(
    surface: Surface, at: int, tally: Tally, move: tuple[int, int]
) -> bool:
    """Return whether the whole part, counted with the opening there, is no worse."""
    moved = tuple((x + move[0], y + move[1]) for x, y in surface.holes[at])
    holes = tuple(moved if n == at else hole for n, hole in enumerate(surface.holes))
    there = replace(surface, holes=holes)
    after = count(there, tally.lattice, tally.set_out, Rules())
    before = count(surface, tally.lattice, tally.set_out, Rules())
    # Where nothing is cut any more, nothing is worse.
    return rough_size(after.smallest_cut) >= rough_size(before.smallest_cut)


__all__ = ["Advice", "niche_advice"]

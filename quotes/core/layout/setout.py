"""Where the pattern should stand: symmetrical, least tile, fewest cuts.

Every set-out is measured in the same way: count, then plan the cuts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from quotes.core.layout.counting import count
from quotes.core.layout.records import SetOut, Surface, Tally, rectangle
from quotes.core.layout.reuse import CutPlan, cut_plan
from quotes.core.layout.search import Search, rough_size
from quotes.core.layout.task import Task, middle_set_outs

SYMMETRICAL = "symmetrical"
LEAST_TILE = "least_tile"
FEWEST_CUTS = "fewest_cuts"
OWN = "own"
AIMS = (SYMMETRICAL, LEAST_TILE, FEWEST_CUTS)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Proposal:
    """A set-out of every surface with what it takes."""

    aim: str
    tallies: tuple[Tally, ...]
    plan: CutPlan

    @property
    def set_outs(self) -> tuple[SetOut, ...]:
        """One set-out a surface."""
        return tuple(tally.set_out for tally in self.tallies)

    @property
    def tiles(self) -> int:
        """Tiles under the factory-edge rule."""
        return self.plan.strict

    @property
    def cuts(self) -> int:
        """Cut positions."""
        return self.plan.cut

    @property
    def smallest_cut(self) -> int | None:
        """The smallest side of any piece in ticks, None without pieces."""
        sizes = [t.smallest_cut for t in self.tallies if t.smallest_cut is not None]
        return min(sizes, default=None)


def symmetrical(task: Task) -> tuple[Tally, ...]:
    """Return every surface with a tile or a joint in its middle.

    On the bounding rectangle, along each axis, a tile or a joint stands in the
    middle, whichever leaves the larger smallest cut; ties take fewer cuts, then the
    tile in the middle.
    """
    return tuple(_symmetrical(task, surface) for surface in task.surfaces)


def _symmetrical(task: Task, surface: Surface) -> Tally:
    wanted = _wanted_middles(task, surface)

    def rank(case: tuple[tuple[int, int], Tally]) -> tuple[int, int, int, int]:
        choice, tally = case
        against = sum(mine != best for mine, best in zip(choice, wanted, strict=True))
        return -rough_size(tally.smallest_cut), against, tally.cut_count, sum(choice)

    cases = [
        (choice, count(surface, task.lattice, set_out, task.rules))
        for choice, set_out in middle_set_outs(task, surface)
    ]
    return min(cases, key=rank)[1]


def _wanted_middles(task: Task, surface: Surface) -> tuple[int, int]:
    """Return what each axis alone would choose on the bounding rectangle."""
    across = [x for x, _ in surface.outer]
    up = [y for _, y in surface.outer]
    around = rectangle(max(across) - min(across), max(up) - min(up))
    tallies = {
        choice: count(around, task.lattice, set_out, task.rules)
        for choice, set_out in middle_set_outs(task, around)
    }
    ranked = []
    for axis in (0, 1):
        joint = (1, 0) if axis == 0 else (0, 1)
        cases = [
            (
                -rough_size(_cut_along(tallies[choice], axis)),
                tallies[choice].cut_count,
                rank,
            )
            for rank, choice in enumerate(((0, 0), joint))
        ]
        ranked.append(min(cases)[2])
    return ranked[0], ranked[1]


def _cut_along(tally: Tally, axis: int) -> int | None:
    """Return the smallest piece among those cut along one axis of the room."""
    found: list[int] = []
    for piece in tally.pieces:
        for face in np.unique(piece.places[:, 0]).tolist():
            turn = tally.set_out.angle + tally.lattice.faces[face].turn
            if turn % 90:
                return tally.smallest_cut
            quarter = turn % 180 != 0
            own_axis = 1 - axis if quarter else axis
            outline = tally.lattice.items[piece.item].outline
            ends = [corner[own_axis] for corner in outline]
            size = piece.height if own_axis else piece.width
            if size < max(ends) - min(ends) - 2:
                found.append(size)
    return min(found, default=None)


def tallies_for(
    task: Task, aim: str, search: Search | None = None
) -> tuple[Tally, ...]:
    """Return the set-outs found for one of AIMS; a search shared by aims is quicker."""
    if aim == SYMMETRICAL:
        return symmetrical(task)
    search = search or Search(task)
    return search.least_tile() if aim == LEAST_TILE else search.fewest_cuts()


def propose(task: Task, *, own: Sequence[SetOut] = ()) -> tuple[Proposal, ...]:
    """Return the set-outs worth showing: symmetrical, least tile, fewest cuts, own.

    Shape: in that order; one that another equals in tiles, cuts and smallest cut and
    that was not asked for by the setter is left out.
    """
    found: list[Proposal] = []
    search = Search(task)
    cases = [(aim, tallies_for(task, aim, search)) for aim in AIMS]
    if own:
        tallies = tuple(
            count(surface, task.lattice, set_out, task.rules)
            for surface, set_out in zip(task.surfaces, own, strict=True)
        )
        cases.append((OWN, tallies))
    seen: set[tuple[int, int, int | None]] = set()
    for aim, tallies in cases:
        proposal = Proposal(
            aim=aim, tallies=tallies, plan=cut_plan(tallies, task.rules)
        )
        key = (proposal.tiles, proposal.cuts, proposal.smallest_cut)
        if key not in seen or aim == OWN:
            found.append(proposal)
        seen.add(key)
    return tuple(found)

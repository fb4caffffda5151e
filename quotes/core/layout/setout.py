"""Where the pattern should stand: symmetrical, least tile, fewest cuts.

Every set-out is measured in the same way: count, then plan the cuts. Candidates are
the symmetrical origins, the critical origins and an even grid; all are ranked by their
counts at once, the most promising are measured exactly.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import product

import numpy as np

from materials.core.lengths import MM
from materials.core.quantities import half_up
from quotes.core.geometry import Number, TickPoint, turned
from quotes.core.layout.batch import count_many
from quotes.core.layout.counting import count
from quotes.core.layout.critical import critical_origins, grid_origins
from quotes.core.layout.records import Rules, SetOut, Surface, Tally, rectangle
from quotes.core.layout.reuse import CutPlan, cut_plan
from quotes.core.pattern import Lattice

SYMMETRICAL = "symmetrical"
LEAST_TILE = "least_tile"
FEWEST_CUTS = "fewest_cuts"
OWN = "own"
AIMS = (SYMMETRICAL, LEAST_TILE, FEWEST_CUTS)

_NO_CUT = 1 << 62
_ROUGHLY = MM // 100


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """Surfaces that take one tile, and how hard to look.

    `grain` is the step origins are rounded to, in ticks, so that a printed origin
    reads back to the same one; 0 keeps whole ticks. `tries` is how many set-outs of
    each surface are measured exactly; `grid` how many steps a cell is divided in.
    """

    surfaces: tuple[Surface, ...]
    lattice: Lattice
    rules: Rules
    angle: Fraction = Fraction(0)
    grain: Fraction = Fraction(0)
    tries: int = 96
    grid: int = 32


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


def grained(point: Iterable[Number], grain: Fraction) -> TickPoint:
    """Return an origin in whole ticks that a printed figure can name."""
    x, y = (_on_grain(Fraction(value), grain) for value in point)
    return x, y


def _on_grain(value: Fraction, grain: Fraction) -> int:
    return int(half_up(half_up(value, grain) if grain else value))


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
        return -_size(tally.smallest_cut), against, tally.cut_count, sum(choice)

    cases = [
        (choice, count(surface, task.lattice, set_out, task.rules))
        for choice, set_out in _middle_set_outs(task, surface)
    ]
    return min(cases, key=rank)[1]


def _size(smallest: int | None) -> int:
    """Return a smallest cut for comparing: to 1/100 mm, nothing cut being the best."""
    return _NO_CUT if smallest is None else (smallest + _ROUGHLY // 2) // _ROUGHLY


def _middle_set_outs(
    task: Task, surface: Surface
) -> list[tuple[tuple[int, int], SetOut]]:
    """Return the four set-outs, tile (0) or joint (1) in the middle, x then y."""
    across = [x for x, _ in surface.outer]
    up = [y for _, y in surface.outer]
    middle = ((min(across) + max(across)) / 2, (min(up) + max(up)) / 2)
    lattice = task.lattice
    found = []
    for choice in product((0, 1), (0, 1)):
        own = (
            lattice.middle[0] + choice[0] * lattice.pitch[0] / 2,
            lattice.middle[1] + choice[1] * lattice.pitch[1] / 2,
        )
        x, y = turned(own, task.angle)
        origin = grained((middle[0] - x, middle[1] - y), task.grain)
        found.append((choice, SetOut(origin=origin, angle=task.angle)))
    return found


def _wanted_middles(task: Task, surface: Surface) -> tuple[int, int]:
    """Return what each axis alone would choose on the bounding rectangle."""
    across = [x for x, _ in surface.outer]
    up = [y for _, y in surface.outer]
    around = rectangle(max(across) - min(across), max(up) - min(up))
    tallies = {
        choice: count(around, task.lattice, set_out, task.rules)
        for choice, set_out in _middle_set_outs(task, around)
    }
    ranked = []
    for axis in (0, 1):
        joint = (1, 0) if axis == 0 else (0, 1)
        cases = [
            (-_size(_cut_along(tallies[choice], axis)), tallies[choice].cut_count, rank)
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


def least_tile(task: Task) -> tuple[Tally, ...]:
    """Return the set-outs that need the fewest tiles found, then the fewest cuts.

    Method: heuristic; the best measured of each surface, then the surfaces against
    each other, since they share offcuts.
    """
    options = [_options(task, surface, by_tiles=True) for surface in task.surfaces]
    return _pooled_best(task, options, by_tiles=True)


def fewest_cuts(task: Task) -> tuple[Tally, ...]:
    """Return the set-outs with the fewest cut positions found, then fewest tiles."""
    options = [_options(task, surface, by_tiles=False) for surface in task.surfaces]
    return _pooled_best(task, options, by_tiles=False)


def _options(task: Task, surface: Surface, *, by_tiles: bool) -> list[Tally]:
    """Return the best set-outs of one surface alone, best first."""
    origins, full, cut = _ranked_origins(task, surface)
    if by_tiles:
        order = _mixed(
            np.lexsort((cut, full + cut)), np.lexsort((full, cut)),
            np.lexsort((cut, -full)), np.arange(0, len(origins), 7),
        )  # fmt: skip
    else:
        order = np.lexsort((full, cut)).tolist()
    measured: list[tuple[tuple[int, int], Tally]] = []
    best_cut = None
    for index in order[: task.tries]:
        set_out = SetOut(origin=origins[index], angle=task.angle)
        tally = count(surface, task.lattice, set_out, task.rules)
        if not by_tiles and best_cut is not None and tally.cut_count > best_cut:
            measured.append(((tally.cut_count, _NO_CUT), tally))
            continue
        tiles = cut_plan([tally], task.rules, certify=False).strict
        key = (tiles, tally.cut_count) if by_tiles else (tally.cut_count, tiles)
        best_cut = min(tally.cut_count, best_cut or tally.cut_count)
        measured.append((key, tally))
    measured.sort(key=lambda pair: (pair[0], -_size(pair[1].smallest_cut)))
    return [tally for _, tally in measured[:5]]


def _mixed(*orders: np.ndarray) -> list[int]:
    """Return indices taken in turn from several orders, none twice."""
    seen: dict[int, None] = {}
    for row in zip(*(order.tolist() for order in _equally_long(orders)), strict=True):
        for index in row:
            seen.setdefault(index)
    return list(seen)


def _equally_long(orders: Iterable[np.ndarray]) -> list[np.ndarray]:
    kept = list(orders)
    most = max(len(order) for order in kept)
    return [np.resize(order, most) for order in kept]


def _ranked_origins(
    task: Task, surface: Surface
) -> tuple[list[TickPoint], np.ndarray, np.ndarray]:
    """Return candidate origins of a surface with their counts, obvious ones first."""
    region = surface.region(task.rules)
    middles = [set_out.origin for _, set_out in _middle_set_outs(task, surface)]
    critical = critical_origins(region, task.lattice, task.angle, most=2000)
    even = grid_origins(task.lattice, task.angle, steps=task.grid)
    corner = np.array(region.bounds[:2])
    points = [*middles, *critical.tolist(), *(even + corner).tolist(), *even.tolist()]
    origins = list(dict.fromkeys(grained(point, task.grain) for point in points))
    full, cut = _counted(task, surface, origins)
    finer = _between(task, [origins[row] for row in np.argsort(cut, kind="stable")[:4]])
    finer = [origin for origin in finer if origin not in set(origins)]
    more_full, more_cut = _counted(task, surface, finer)
    return (
        [*origins, *finer],
        np.concatenate([full, more_full]),
        np.concatenate([cut, more_cut]),
    )


def _counted(
    task: Task, surface: Surface, origins: Sequence[TickPoint]
) -> tuple[np.ndarray, np.ndarray]:
    points = np.array(origins, dtype=np.float64).reshape(-1, 2)
    region = surface.region(task.rules)
    return count_many(region, task.lattice, task.angle, points, task.rules)


def _between(task: Task, best: Sequence[TickPoint]) -> list[TickPoint]:
    """Return origins about the best ones, finer than the even grid."""
    steps = 8 * task.grid
    even = grid_origins(task.lattice, task.angle, steps=steps)
    near = even.reshape(steps, steps, 2)[:9, :9] - even.reshape(steps, steps, 2)[4, 4]
    found = [
        grained(point, task.grain)
        for origin in best
        for point in (near.reshape(-1, 2) + np.array(origin)).tolist()
    ]
    return list(dict.fromkeys(found))


def _pooled_best(
    task: Task, options: Sequence[Sequence[Tally]], *, by_tiles: bool
) -> tuple[Tally, ...]:
    chosen = [tallies[0] for tallies in options]
    if len(chosen) == 1:
        return tuple(chosen)

    def measure(tallies: Sequence[Tally]) -> tuple[int, int]:
        tiles = cut_plan(tallies, task.rules, certify=False).strict
        cuts = sum(tally.cut_count for tally in tallies)
        return (tiles, cuts) if by_tiles else (cuts, tiles)

    best = measure(chosen)
    for surface, tallies in enumerate(options):
        for tally in tallies[1:]:
            trial = [*chosen[:surface], tally, *chosen[surface + 1 :]]
            score = measure(trial)
            if score < best:
                best, chosen = score, trial
    return tuple(chosen)


_SEARCHES = {
    SYMMETRICAL: symmetrical,
    LEAST_TILE: least_tile,
    FEWEST_CUTS: fewest_cuts,
}


def tallies_for(task: Task, aim: str) -> tuple[Tally, ...]:
    """Return the set-outs found for one of AIMS."""
    return _SEARCHES[aim](task)


def propose(task: Task, *, own: Sequence[SetOut] = ()) -> tuple[Proposal, ...]:
    """Return the set-outs worth showing: symmetrical, least tile, fewest cuts, own.

    Shape: in that order; one that another equals in tiles, cuts and smallest cut and
    that was not asked for by the setter is left out.
    """
    found: list[Proposal] = []
    cases = [(aim, tallies_for(task, aim)) for aim in AIMS]
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

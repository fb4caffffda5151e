"""Looking for set-outs: many origins ranked at once, the promising measured exactly.

Candidates are the symmetrical origins, the critical origins and an even grid. Each is
counted and planned once, whatever aim asks for it; alike surfaces share what is found.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np

from materials.core.lengths import MM
from quotes.core.geometry import Floats, Ints, TickPoint
from quotes.core.layout.batch import count_many
from quotes.core.layout.counting import count_each
from quotes.core.layout.critical import critical_origins, grained_rows, grid_origins
from quotes.core.layout.records import Surface, Tally
from quotes.core.layout.reuse import tiles_needed
from quotes.core.layout.sparse import spread
from quotes.core.layout.task import Task, middle_set_outs

_NO_CUT = 1 << 62
_ROUGHLY = MM // 100
_KEPT = 5
"""Set-outs of one surface that are tried against those of the others."""
_SEEDS = 12
_CORNERS = 4
_LOT = 16
"""Set-outs counted in one pass; what one shows may spare those after it."""
_PATIENCE = 2
"""So many doublings of alike origins weigh as much as a tile."""
_MANY_KINDS = 64
"""So many kinds of pieces double the work of a plan; a hall askew has hundreds."""

Score = tuple[int, int]


def rough_size(smallest: int | None) -> int:
    """Return a smallest cut for comparing: to 1/100 mm, nothing cut being the best."""
    return _NO_CUT if smallest is None else (smallest + _ROUGHLY // 2) // _ROUGHLY


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ranked:
    """Candidate origins of a surface with their counts and the tiles they promise."""

    origins: list[TickPoint]
    full: Ints
    cut: Ints
    promise: Ints
    likely: Ints


@dataclass(slots=True, eq=False)
class Search:
    """The candidates of one task; what was measured is kept."""

    task: Task
    _ranked: dict[Surface, Ranked] = field(default_factory=dict)
    _tallies: dict[tuple[Surface, TickPoint], Tally] = field(default_factory=dict)
    _tiles: dict[tuple[Surface, TickPoint], int] = field(default_factory=dict)

    def least_tile(self) -> tuple[Tally, ...]:
        """Return the set-outs that need the fewest tiles found, then the fewest cuts.

        Method: heuristic; the best measured of each surface, then the surfaces
        against each other, since they share offcuts.
        """
        return self._pooled_best(by_tiles=True)

    def fewest_cuts(self) -> tuple[Tally, ...]:
        """Return the set-outs with the fewest cut positions found, then tiles."""
        return self._pooled_best(by_tiles=False)

    def _count(self, surface: Surface, origins: Iterable[TickPoint]) -> None:
        """Count the set-outs that were not yet, in one pass."""
        task = self.task
        new = list(
            dict.fromkeys(o for o in origins if (surface, o) not in self._tallies)
        )
        if new:
            set_outs = [task.set_out(origin) for origin in new]
            found = count_each(surface, task.lattice, set_outs, task.rules)
            self._tallies.update(
                ((surface, origin), tally)
                for origin, tally in zip(new, found, strict=True)
            )

    def _needed(self, surface: Surface, origin: TickPoint) -> int:
        key = (surface, origin)
        if key not in self._tiles:
            self._tiles[key] = tiles_needed([self._tallies[key]], self.task.rules)
        return self._tiles[key]

    def _options(self, surface: Surface, *, by_tiles: bool) -> list[Tally]:
        """Return the best set-outs of one surface alone, best first."""
        ranked = self._ranks(surface)
        rows = deque(_by_tiles(ranked) if by_tiles else _by_cuts(ranked))
        measured: dict[TickPoint, Score] = {}
        best: Score = (_NO_CUT, _NO_CUT)
        left = 2 * self.task.tries
        while rows and left > 0:
            lot: list[TickPoint] = []
            while rows and len(lot) < min(_LOT, left):
                row = rows.popleft()
                promised = self._promised(ranked, row, by_tiles=by_tiles)
                if len(measured) < _SEEDS or promised <= best:
                    lot.append(ranked.origins[row])
            left -= self._measure(surface, lot, measured, by_tiles=by_tiles)
            best = min(measured.values(), default=best)
        if by_tiles:
            self._descend(surface, measured)
        ordered = sorted(measured, key=lambda one: self._key(surface, one, measured))
        return [self._tallies[surface, origin] for origin in ordered[:_KEPT]]

    def _measure(
        self,
        surface: Surface,
        origins: Sequence[TickPoint],
        measured: dict[TickPoint, Score],
        *,
        by_tiles: bool,
    ) -> int:
        """Measure set-outs exactly; return the effort it took, two for each plan.

        A plan is made only where it might be as good as any.
        """
        self._count(surface, origins)
        effort = 0
        for origin in origins:
            tally = self._tallies[surface, origin]
            effort += 1
            best = min(measured.values(), default=(_NO_CUT, 0))[0]
            if (tally.least_tiles if by_tiles else tally.cut_count) <= best:
                tiles, cuts = self._needed(surface, origin), tally.cut_count
                measured[origin] = (tiles, cuts) if by_tiles else (cuts, tiles)
                effort += 2 * _kinds(tally) - 1
        return effort

    def _key(
        self, surface: Surface, origin: TickPoint, measured: dict[TickPoint, Score]
    ) -> tuple[Score, int]:
        tally = self._tallies[surface, origin]
        return measured[origin], -rough_size(tally.smallest_cut)

    def _descend(self, surface: Surface, measured: dict[TickPoint, Score]) -> None:
        """Measure the neighbours of the best, and theirs: half as many tries again."""
        task = self.task
        even = grid_origins(task.lattice, task.angle, steps=task.grid)
        u, v = even[task.grid], even[1]
        around = np.array([u, v, -u, -v, u + v, -u - v, u - v, v - u])
        left, passed = task.tries, set[TickPoint]()
        while left > 0:
            open_ = [one for one in measured if one not in passed]
            if not open_:
                return
            here = min(open_, key=measured.__getitem__)
            passed.add(here)
            near = grained_rows(around + np.array(here), task.grain)
            new = [origin for origin in near if origin not in measured]
            left -= self._measure(surface, new, measured, by_tiles=True)

    def _promised(self, ranked: Ranked, index: int, *, by_tiles: bool) -> Score:
        """Return the best score a candidate can have, as far as can be told.

        Slivers in corners are counted as cuts there, and a corner turned inwards
        leaves a little more than was promised.
        """
        cut, promise = int(ranked.cut[index]), int(ranked.promise[index])
        return (promise - 1, 0) if by_tiles else (cut - _CORNERS, 0)

    def _ranks(self, surface: Surface) -> Ranked:
        if surface not in self._ranked:
            self._ranked[surface] = self._ranked_origins(surface)
        return self._ranked[surface]

    def _ranked_origins(self, surface: Surface) -> Ranked:
        """Return candidate origins of a surface with their counts, obvious first."""
        task = self.task
        region = surface.region(task.rules)
        middles = [one.origin for _, one in middle_set_outs(task, surface)]
        even = grid_origins(task.lattice, task.angle, steps=task.grid)
        points = np.concatenate(
            [
                np.array(middles, dtype=np.float64),
                critical_origins(region, task.lattice, task.angle, most=2000),
                even + np.array(region.bounds[:2]),
                even,
            ]
        )
        origins = grained_rows(points, task.grain)
        first = self._counted(surface, origins)
        known = set(origins)
        finer = [one for one in self._between(first) if one not in known]
        more = self._counted(surface, finer)
        return Ranked(
            origins=[*origins, *finer],
            full=np.concatenate([first.full, more.full]),
            cut=np.concatenate([first.cut, more.cut]),
            promise=np.concatenate([first.promise, more.promise]),
            likely=np.concatenate([first.likely, more.likely]),
        )

    def _counted(self, surface: Surface, origins: Sequence[TickPoint]) -> Ranked:
        task = self.task
        points = np.array(origins, dtype=np.float64).reshape(-1, 2)
        region = surface.region(task.rules)
        found = count_many(region, task.lattice, task.angle, points, task.rules)
        return Ranked(
            origins=list(origins),
            full=found.full,
            cut=found.cut,
            promise=found.promise,
            likely=found.likely,
        )

    def _between(self, ranked: Ranked) -> list[TickPoint]:
        """Return origins about the best ones, finer than the even grid."""
        task = self.task
        steps = 8 * task.grid
        even = grid_origins(task.lattice, task.angle, steps=steps)
        rows = even.reshape(steps, steps, 2)
        near: Floats = (rows[:9, :9] - rows[4, 4]).reshape(-1, 2)
        best = np.array(
            [ranked.origins[row] for row in _by_cuts(ranked)[:4]], dtype=np.float64
        )
        return grained_rows(
            (best[:, None, :] + near[None, :, :]).reshape(-1, 2), task.grain
        )

    def _pooled_best(self, *, by_tiles: bool) -> tuple[Tally, ...]:
        options = [
            self._options(surface, by_tiles=by_tiles) for surface in self.task.surfaces
        ]
        chosen = [tallies[0] for tallies in options]
        if len(chosen) == 1:
            return tuple(chosen)

        def measure(tallies: Sequence[Tally]) -> Score:
            tiles = tiles_needed(tallies, self.task.rules)
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


def _kinds(tally: Tally) -> int:
    """Return how many tries a plan counts for: many kinds of pieces take long."""
    return 1 + (len(tally.pieces) // _MANY_KINDS) ** 2


def _by_cuts(ranked: Ranked) -> list[int]:
    order: list[int] = np.lexsort((ranked.full, ranked.cut)).tolist()
    return order


def _by_tiles(ranked: Ranked) -> list[int]:
    """Return rows by the tiles they are likely to take, unlike ones before alike ones.

    Origins near each other have the same counts and take the same tiles, and what is
    likely errs alike for origins that look alike: each further one of its kind, and
    each further kind of its likelihood, waits behind others that look a little worse.
    """
    kinds = np.stack([ranked.likely, ranked.promise, ranked.cut, ranked.full], axis=1)
    different, kind = np.unique(kinds, axis=0, return_inverse=True)
    kind = kind.ravel()
    of_level = _rank_within(np.unique(different[:, 0], return_inverse=True)[1])
    wait = np.log2(1 + _rank_within(kind)) + np.log2(1 + of_level)[kind]
    order: list[int] = np.lexsort(
        (ranked.cut, ranked.promise, _PATIENCE * ranked.likely + wait)
    ).tolist()
    return order


def _rank_within(group: Ints) -> Ints:
    """Return the how-manieth of its group each row is: 0 1 0 → 0 0 1."""
    rank = np.empty(len(group), dtype=np.int64)
    rank[np.argsort(group, kind="stable")] = spread(np.bincount(group))[1]
    return rank

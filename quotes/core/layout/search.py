"""Looking for set-outs: many origins ranked at once, the promising measured exactly.

Candidates are the symmetrical origins, the critical origins and an even grid. Each is
counted and planned once, whatever aim asks for it; alike surfaces share what is found.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from materials.core.lengths import MM
from quotes.core.geometry import Floats, Ints, TickPoint
from quotes.core.layout.batch import count_many
from quotes.core.layout.counting import count
from quotes.core.layout.critical import critical_origins, grained_rows, grid_origins
from quotes.core.layout.records import Surface, Tally
from quotes.core.layout.reuse import tiles_needed
from quotes.core.layout.task import Task, middle_set_outs

_NO_CUT = 1 << 62
_ROUGHLY = MM // 100
_KEPT = 5
"""Set-outs of one surface that are tried against those of the others."""
_SEEDS = 12
_CORNERS = 4
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

    def _tally(self, surface: Surface, origin: TickPoint) -> Tally:
        key = (surface, origin)
        if key not in self._tallies:
            task = self.task
            set_out = task.set_out(origin)
            self._tallies[key] = count(surface, task.lattice, set_out, task.rules)
        return self._tallies[key]

    def _needed(self, surface: Surface, origin: TickPoint) -> int:
        key = (surface, origin)
        if key not in self._tiles:
            tally = self._tally(surface, origin)
            self._tiles[key] = tiles_needed([tally], self.task.rules)
        return self._tiles[key]

    def _options(self, surface: Surface, *, by_tiles: bool) -> list[Tally]:
        """Return the best set-outs of one surface alone, best first."""
        ranked = self._ranks(surface)
        order = _by_tiles(ranked) if by_tiles else _by_cuts(ranked)
        measured: dict[TickPoint, Score] = {}
        best: Score = (_NO_CUT, _NO_CUT)
        left = self.task.tries
        for index in order:
            if left <= 0 or (
                len(measured) >= _SEEDS
                and self._promised(ranked, index, by_tiles=by_tiles) > best
            ):
                break
            origin = ranked.origins[index]
            tally = self._tally(surface, origin)
            left -= _effort(tally)
            if not by_tiles and tally.cut_count > best[0]:
                continue
            measured[origin] = self._score(surface, origin, by_tiles=by_tiles)
            best = min(measured[origin], best)
        if by_tiles:
            self._descend(surface, measured)
        ordered = sorted(measured, key=lambda one: self._key(surface, one, measured))
        return [self._tally(surface, origin) for origin in ordered[:_KEPT]]

    def _key(
        self, surface: Surface, origin: TickPoint, measured: dict[TickPoint, Score]
    ) -> tuple[Score, int]:
        return measured[origin], -rough_size(self._tally(surface, origin).smallest_cut)

    def _score(self, surface: Surface, origin: TickPoint, *, by_tiles: bool) -> Score:
        cuts = self._tally(surface, origin).cut_count
        tiles = self._needed(surface, origin)
        return (tiles, cuts) if by_tiles else (cuts, tiles)

    def _descend(self, surface: Surface, measured: dict[TickPoint, Score]) -> None:
        """Measure the neighbours of the best, and theirs: half as many tries again."""
        task = self.task
        even = grid_origins(task.lattice, task.angle, steps=task.grid)
        u, v = even[task.grid], even[1]
        around = np.array([u, v, -u, -v, u + v, -u - v, u - v, v - u])
        left, passed = task.tries // 2, set[TickPoint]()
        while left > 0:
            open_ = [one for one in measured if one not in passed]
            if not open_:
                return
            here = min(open_, key=measured.__getitem__)
            passed.add(here)
            for origin in grained_rows(around + np.array(here), task.grain):
                if origin not in measured:
                    measured[origin] = self._score(surface, origin, by_tiles=True)
                    left -= _effort(self._tally(surface, origin))

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
        )

    def _counted(self, surface: Surface, origins: Sequence[TickPoint]) -> Ranked:
        task = self.task
        points = np.array(origins, dtype=np.float64).reshape(-1, 2)
        region = surface.region(task.rules)
        found = count_many(region, task.lattice, task.angle, points, task.rules)
        return Ranked(
            origins=list(origins), full=found.full, cut=found.cut, promise=found.promise
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


def _effort(tally: Tally) -> int:
    """Return how many tries a set-out counts for: many kinds of pieces take long."""
    return 1 + (len(tally.pieces) // _MANY_KINDS) ** 2


def _by_cuts(ranked: Ranked) -> list[int]:
    order: list[int] = np.lexsort((ranked.full, ranked.cut)).tolist()
    return order


def _by_tiles(ranked: Ranked) -> list[int]:
    """Return rows by what they promise, after a few by their counts alone."""
    full, cut = ranked.full, ranked.cut
    some = np.lexsort((cut, full + cut))[: _SEEDS // 2].tolist()
    fewest = np.lexsort((full, cut))[: _SEEDS // 2].tolist()
    rest = np.lexsort((cut, ranked.promise)).tolist()
    return list(dict.fromkeys([*some, *fewest, *rest]))

"""A proof of how few tiles the cut pieces need, and sets that come near it.

Terms. A *set* is up to four placements that share a tile. *Prices* give each class of
pieces a whole number; if no set is worth more than W, then the pieces need at least
⌈Σ price × count / W⌉ tiles: that is the certificate, and it holds whatever found the
prices. They come from the linear programme over all sets, by column generation; the
dearest set is searched for exhaustively, by whole numbers.

Allowed to hold doubles: a kernel of the layout. Only whole numbers leave it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import highspy
import numpy as np

from quotes.core.layout.fit import MOST_IN_ONE, Fit, Placement

_SCALE = 1_000_000
_ROUNDS = 80
_NODES = 60_000
_NEW_A_ROUND = 24

TileSet = tuple[Placement, ...]


@dataclass(slots=True)
class Certificate:
    """A lower bound on the tiles that yield pieces, with the prices that prove it."""

    bound: int
    prices: tuple[int, ...] = ()
    worth: int = 1
    sets: list[TileSet] = field(default_factory=list)


class _Master:
    """The linear programme: fewest tiles whose sets cover every class."""

    def __init__(self, counts: Sequence[int], sets: Sequence[TileSet]) -> None:
        self.counts = counts
        self.sets: list[TileSet] = []
        self.seen: set[tuple[int, ...]] = set()
        self.model = highspy.Highs()  # type: ignore[no-untyped-call]
        self.model.setOptionValue("output_flag", False)
        self.model.setOptionValue("threads", 1)
        self.model.setOptionValue("random_seed", 1)
        for count in counts:
            self.model.addRow(count, highspy.kHighsInf, 0, [], [])
        for chosen in sets:
            self.add(chosen)

    def add(self, chosen: TileSet) -> bool:
        """Add a set; False if one with the same pieces is known."""
        key = tuple(sorted(piece for piece, _ in chosen))
        if key in self.seen:
            return False
        self.seen.add(key)
        self.sets.append(chosen)
        rows = np.array(sorted(set(key)), dtype=np.int32)
        times = np.array([key.count(int(row)) for row in rows], dtype=np.float64)
        self.model.addCol(1, 0, highspy.kHighsInf, len(rows), rows, times)
        return True

    def duals(self) -> list[int]:
        """Return the prices of the classes, scaled to whole numbers."""
        self.model.run()
        values = self.model.getSolution().row_dual
        return [max(0, int(value * _SCALE)) for value in values]

    def whole_solution(self) -> list[int] | None:
        """Return how often each set is used when sets are whole, the best found."""
        count = len(self.sets)
        self.model.setOptionValue("mip_max_nodes", 400)
        self.model.changeColsIntegrality(
            count,
            np.arange(count, dtype=np.int32),
            np.full(count, highspy.HighsVarType.kInteger),
        )
        self.model.run()
        values = self.model.getSolution().col_value
        if len(values) != count or not self.model.getInfo().primal_solution_status:
            return None
        return [round(value) for value in values]


def certified(
    fit: Fit, counts: Sequence[int], known: Sequence[TileSet], *, goal: int
) -> tuple[Certificate, list[tuple[TileSet, int]] | None]:
    """Return a lower bound and, when it helps, a better choice of sets.

    `known` are sets already found; `goal` is how many tiles they take. The choice is
    None when no better one was found.
    Method: column generation, then branch and bound over the sets found: the bound is
    proven, the choice a heuristic.
    """
    singles: list[TileSet] = [((piece, 0),) for piece in range(len(counts))]
    master = _Master(counts, [*singles, *known])
    best = Certificate(bound=0)
    for _ in range(_ROUNDS):
        prices = master.duals()
        dearest = _Dearest(fit, counts, prices)
        dearest.search()
        total = sum(p * n for p, n in zip(prices, counts, strict=True))
        if dearest.worth:
            bound = -(-total // dearest.worth)
            if bound > best.bound:
                best = Certificate(
                    bound=bound, prices=tuple(prices), worth=dearest.worth
                )
        if best.bound >= goal or dearest.gave_up:
            break
        # Whole prices round down, so a set at its price shows up a shade below it.
        if dearest.worth <= _SCALE + 8:
            break
        added = [master.add(chosen) for chosen in dearest.found]
        if not any(added):
            break
    if best.bound >= goal:
        return best, None
    for chosen in _Dearest(fit, counts, prices).near(limit=1500):
        master.add(chosen)
    return best, _better(master, counts, goal)


def _better(
    master: _Master, counts: Sequence[int], goal: int
) -> list[tuple[TileSet, int]] | None:
    times = master.whole_solution()
    if times is None or sum(times) >= goal:
        return None
    return [(chosen, n) for chosen, n in zip(master.sets, times, strict=True) if n > 0]


class _Dearest:
    """Search for the set of pieces worth most: depth first, cut off by a bound."""

    def __init__(self, fit: Fit, counts: Sequence[int], prices: Sequence[int]) -> None:
        self.fit = fit
        self.counts = counts
        self.prices = prices
        self.order = sorted(
            (piece for piece in range(len(counts)) if prices[piece] > 0),
            key=lambda piece: (-prices[piece], piece),
        )
        self.worth = 0
        self.found: list[TileSet] = []
        self.gave_up = False
        self._nodes = 0
        self._limit = 0
        self._floor = 0

    def search(self) -> None:
        """Find the dearest set; `found` keeps the dearest ones met on the way."""
        self._floor = 0
        met: list[tuple[int, TileSet]] = []
        for rank, piece in enumerate(self.order):
            value = self.prices[piece]
            if value * MOST_IN_ONE <= self.worth:
                break
            self._extend(((piece, 0),), rank, value, self._mask(piece, 0), met)
            if self.gave_up:
                # Nothing unexplored can be worth more than four of the dearest.
                self.worth = max(self.worth, MOST_IN_ONE * self.prices[self.order[0]])
                break
        met.sort(key=lambda pair: -pair[0])
        self.found = [chosen for _, chosen in met[:_NEW_A_ROUND]]

    def near(self, *, limit: int) -> list[TileSet]:
        """Return sets worth nearly a tile, dearest pieces first, at most `limit`."""
        met: list[tuple[int, TileSet]] = []
        self._limit = limit
        self._floor = _SCALE * 9 // 10
        for rank, piece in enumerate(self.order):
            self._extend(
                ((piece, 0),), rank, self.prices[piece], self._mask(piece, 0), met
            )
            if len(met) >= limit or self.gave_up:
                break
        return [chosen for _, chosen in met[:limit]]

    def _mask(self, piece: int, turn: int) -> int:
        return self.fit.masks[piece * self.fit.per_class + turn]

    def _extend(
        self,
        chosen: TileSet,
        rank: int,
        value: int,
        mask: int,
        met: list[tuple[int, TileSet]],
    ) -> None:
        self._nodes += 1
        if self._nodes > _NODES:
            self.gave_up = True
            return
        if (self._limit and value >= self._floor) or value > self.worth:
            self.worth = max(self.worth, value)
            met.append((value, chosen))
        room = MOST_IN_ONE - len(chosen)
        if not room or (self._limit and len(met) >= self._limit):
            return
        turns = self.fit.per_class
        for next_rank in range(rank, len(self.order)):
            piece = self.order[next_rank]
            price = self.prices[piece]
            reach = value + room * price
            if reach < self._floor if self._limit else reach <= self.worth:
                return
            bits = mask >> (piece * turns) & ((1 << turns) - 1)
            if not bits or not self._left(chosen, piece):
                continue
            for turn in range(turns):
                if not bits >> turn & 1:
                    continue
                longer = (*chosen, (piece, turn))
                if self.fit.is_parted(longer):
                    both = mask & self._mask(piece, turn)
                    self._extend(longer, next_rank, value + price, both, met)
                if self.gave_up:
                    return

    def _left(self, chosen: TileSet, piece: int) -> bool:
        used = sum(1 for other, _ in chosen if other == piece)
        return used < self.counts[piece]

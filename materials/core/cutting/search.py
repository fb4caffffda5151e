"""Look for a cheap plan: many greedy starts, then cheaper mixes of sheets squeezed.

All of it heuristic and counted in work, so that the same job and seed give the same
plan anywhere. What a plan is worth is told by the bounds, elsewhere.
"""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

from materials.core.cutting.greedy import FITS, SPLITS, Move, Packer, shuffled
from materials.core.cutting.mixes import Mix, cheaper_mixes
from materials.core.cutting.problem import Problem, lies_in
from materials.core.cutting.records import Budget, NotEnoughStock
from materials.core.cutting.squeeze import Squeeze

FIRST_SHARE = 4
"""One part in so many of the work goes to greedy starts."""

MOST_FIRST = 60_000
"""Trials after which more greedy starts hardly help."""

OPENINGS = 4

MOST_REMEMBERED = 1_200

LEAST_SHARE = 20_000
"""Work that a mix of sheets gets at least, before the next one is tried."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """A packing: the size of every sheet by number, and the moves on each."""

    sizes: tuple[int, ...]
    moves: tuple[tuple[Move, ...], ...]
    cost: int

    @property
    def worth(self) -> tuple[int, int]:
        """Return what is compared: money, then sheets."""
        return self.cost, len(self.sizes)


class Search:
    """One job's search for a cheap packing."""

    def __init__(self, problem: Problem, *, seed: int, budget: Budget) -> None:
        self.problem = problem
        self.budget = budget
        self.rng = Random(f"{seed}")  # noqa: S311 - a search, no secret
        self.packer = Packer(
            [sort.ways for sort in problem.sorts], problem.dust, problem.least
        )
        self.keys = _keys(problem)
        self.everything = [
            number for number, sort in enumerate(problem.sorts) for _ in sort.names
        ]
        self.best: Found | None = None
        self.remembered: list[tuple[int, list[Move]]] = []

    def first(self, goal: tuple[int, int]) -> None:
        """Try greedy starts until `goal` (money, sheets) or a share of the work.

        Raises: NotEnoughStock when nothing places every piece.
        """
        end = self.packer.work + min(self.budget.work // FIRST_SHARE, MOST_FIRST)
        rules = [
            (key, fit, split)
            for fit in range(len(FITS))
            for split in range(len(SPLITS))
            for key in self.keys
        ]
        self.rng.shuffle(rules)
        openings = OPENINGS if len(self.problem.sizes) > 1 else 1
        turn = 0
        while True:
            key, fit, split = rules[turn % len(rules)]
            noise = 0 if turn < len(rules) else 20 + 20 * (turn % 5)
            order = shuffled(self.everything, key, noise, self.rng)
            self.offer(self._opened(order, fit, split, turn % openings))
            turn += 1
            if self.best is not None and self.best.worth <= goal:
                return
            done = turn >= openings and self.packer.work > end
            if done or (turn % 16 == 0 and self.budget.stop()):
                break
        if self.best is None:
            self._all_stock(end)

    def offer(self, found: Found | None) -> None:
        """Keep a packing if it is the best so far."""
        if found is None:
            return
        if len(self.problem.sizes) > 1:
            found = self._cheaper_sizes(found)
        if self.best is None or found.worth < self.best.worth:
            self.best = found

    def _opened(
        self, order: list[int], fit: int, split: int, opening: int
    ) -> Found | None:
        """Fill one sheet after the other, opening by a rule; None without stock."""
        there = [size.most for size in self.problem.sizes]
        sizes: list[int] = []
        moves: list[tuple[Move, ...]] = []
        left = order
        while left:
            number = self._opens(left[0], there, opening)
            if number is None:
                return None
            size = self.problem.sizes[number]
            most = there[number]
            if most is not None:
                there[number] = most - 1
            free = [(size.width, size.height, 0, 0, len(sizes))]
            left, made = self.packer.pack(left, free, fit, split)
            sizes.append(number)
            moves.append(tuple(made))
        cost = sum(self.problem.sizes[number].price for number in sizes)
        return Found(sizes=tuple(sizes), moves=tuple(moves), cost=cost)

    def _opens(self, sort: int, there: list[int | None], opening: int) -> int | None:
        """Return which size to open for a piece: by price, price of area, or size."""
        best = None
        chosen = None
        for number, size in enumerate(self.problem.sizes):
            if there[number] == 0 or not any(
                lies_in(way, size.width, size.height, self.problem)
                for way in self.problem.sorts[sort].ways
            ):
                continue
            ratio = (size.price * 1_000_000) // size.area
            key = (
                (ratio, -size.area),
                (size.price, -size.area),
                (-size.area, size.price),
                (size.price > 0, size.area),
            )[opening]
            if best is None or key < best:
                best, chosen = key, number
        return chosen

    def _cheaper_sizes(self, found: Found) -> Found:
        """Move single sheets' contents to cheaper stock where it fits."""
        there = [size.most for size in self.problem.sizes]
        for number in found.sizes:
            most = there[number]
            if most is not None:
                there[number] = most - 1
        sizes, moves = list(found.sizes), list(found.moves)
        for at, number in enumerate(sizes):
            order = [move[0] for move in moves[at] if move[0] >= 0]
            for other, size in enumerate(self.problem.sizes):
                if there[other] == 0 or size.price >= self.problem.sizes[number].price:
                    continue
                made = self._on_one(order, size.width, size.height, at)
                if made is None:
                    continue
                for changed, by in ((number, 1), (other, -1)):
                    most = there[changed]
                    if most is not None:
                        there[changed] = most + by
                sizes[at], moves[at], number = other, made, other
        cost = sum(self.problem.sizes[number].price for number in sizes)
        return Found(sizes=tuple(sizes), moves=tuple(moves), cost=cost)

    def _on_one(
        self, order: list[int], width: int, height: int, sheet: int
    ) -> tuple[Move, ...] | None:
        need = sum(self.problem.sorts[sort].area for sort in order)
        if need > width * height:
            return None
        for fit, split in ((0, 0), (1, 2), (5, 4), (2, 5)):
            order = shuffled(order, self.keys[fit % len(self.keys)], 0, self.rng)
            left, made = self.packer.pack(
                order, [(width, height, 0, 0, sheet)], fit, split
            )
            if not left:
                return tuple(made)
        return None

    def improve(self, bound: tuple[int, int], work: int) -> None:
        """Squeeze everything into cheaper mixes, or fewer sheets, down to `bound`."""
        end = self.packer.work + work
        while self.best is not None and self.best.worth > bound:
            mixes = cheaper_mixes(self.problem, self.best, bound)
            share = (end - self.packer.work) // (2 * len(mixes) or 1)
            if len(mixes) == 1:
                share *= 2
            for mix in mixes:
                if self.squeezed(mix, max(share, LEAST_SHARE)):
                    break
                if self.packer.work > end or self.budget.stop():
                    return
            if not mixes or self.packer.work > end:
                return

    def squeezed(self, mix: Mix, work: int) -> bool:
        """Try one mix of sheets; keep and report a packing that needs no more."""
        sizes = self.problem.sizes
        rooms = [(sizes[number].width, sizes[number].height) for number in mix]
        squeeze = Squeeze(self.packer, self.keys, rooms)
        squeeze.start(shuffled(self.everything, self.keys[0], 0, self.rng), self.rng)
        done = squeeze.run(self.rng, work, self.budget.stop)
        self._remember(mix, squeeze)
        if not done:
            return False
        kept = [at for at, moves in enumerate(squeeze.moves) if moves]
        found = Found(
            sizes=tuple(mix[at] for at in kept),
            moves=tuple(tuple(squeeze.moves[at]) for at in kept),
            cost=sum(sizes[mix[at]].price for at in kept),
        )
        before = self.best
        self.offer(found)
        return self.best is not before

    def _remember(self, mix: Mix, squeeze: Squeeze) -> None:
        """Keep full sheets met on the way, and the last ones, as patterns for later."""
        last = [(at, moves) for at, moves in enumerate(squeeze.moves) if moves]
        room = max(0, MOST_REMEMBERED - len(self.remembered))
        self.remembered += [
            (mix[at], moves) for at, moves in (*squeeze.patterns, *last)[:room]
        ]

    def _all_stock(self, end: int) -> None:
        """Use every sheet there is, for a job that barely fits its stock."""
        sizes = self.problem.sizes
        mix: list[int] = []
        for number, size in enumerate(sizes):
            mix += [number] * min(
                len(self.everything) if size.most is None else size.most,
                len(self.everything),
            )
        self.squeezed(tuple(mix), self.budget.work)
        if self.best is None:
            raise NotEnoughStock(self._missing(mix), field="stock")

    def _missing(self, mix: list[int]) -> str:
        """Return a sentence that names what found no place."""
        sizes = self.problem.sizes
        free = [
            (sizes[number].width, sizes[number].height, 0, 0, at)
            for at, number in enumerate(mix)
        ]
        order = shuffled(self.everything, self.keys[0], 0, self.rng)
        left, _moves = self.packer.pack(order, free, 0, 0)
        names = dict.fromkeys(self.problem.sorts[sort].names[0] for sort in left)
        listed = ", ".join(f"“{name}”" for name in list(names)[:3]) or "a piece"
        return (
            f"The stock is not enough: no place was found for {len(left) or 1} of "
            f"{len(self.everything)} pieces ({listed}); add stock or raise a count."
        )


def _keys(problem: Problem) -> list[list[int]]:
    """Return the ways of ranking pieces: area, longer, shorter side, half girth."""
    sides = [(sort.ways[0][0], sort.ways[0][1]) for sort in problem.sorts]
    return [
        [a * b for a, b in sides],
        [max(a, b) for a, b in sides],
        [min(a, b) for a, b in sides],
        [a + b for a, b in sides],
    ]

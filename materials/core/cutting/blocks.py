"""The smallest rectangles from which a set of pieces can be cut, exactly.

A set of one piece needs that piece, either way round; a larger set is two smaller
ones side by side or one above the other. Of all sizes only those are kept that no
other one beats both ways and that lie in the sheet.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import product

from materials.core.cutting.greedy import Move
from materials.core.cutting.problem import Problem, Size

Block = tuple[int, int]
"""Width and height."""


ASK_STOP = 256


class TooLong(Exception):
    """The steps allowed are used up."""


class Blocks:
    """Sizes of sets, each worked out once.

    Method: dynamic programme over sub-sets, exact; exponential in the pieces of a
    set. Snap rules are left aside: what does not fit without them does not with them.
    """

    def __init__(
        self, problem: Problem, size: Size, *, stop: Callable[[], bool]
    ) -> None:
        self.problem = problem
        self.width, self.height = size.width, size.height
        self.left = 0
        self.asked = 0
        self.stop = stop
        self.fitting: dict[tuple[int, ...], bool] = {}
        self.known: dict[tuple[int, ...], list[Block]] = {}
        for number, sort in enumerate(problem.sorts):
            sizes = [(way[0], way[1]) for way in sort.ways]
            self.known[(number,)] = self._best(sizes)

    def sizes(self, chosen: tuple[int, ...]) -> list[Block]:
        """Return the least sizes of a set (rising sorts), narrowest first.

        Shape: empty when it does not fit the sheet.
        Raises: TooLong.
        """
        found = self.known.get(chosen)
        if found is None:
            found = self.known[chosen] = self._sizes(chosen)
        return found

    def fits(self, chosen: tuple[int, ...]) -> bool:
        """Return whether a set (rising sorts) can be cut from one sheet.

        Raises: TooLong.
        """
        found = self.fitting.get(chosen)
        if found is None:
            sizes = self.known.get(chosen)
            found = self._fits(chosen) if sizes is None else bool(sizes)
            self.fitting[chosen] = found
        return found

    def _fits(self, chosen: tuple[int, ...]) -> bool:
        sorts = self.problem.sorts
        if sum([sorts[sort].area for sort in chosen]) > self.width * self.height:
            return False
        if not all(
            self.fits(chosen[:at] + chosen[at + 1 :]) for at in range(len(chosen))
        ):
            return False
        halves = self.halves(chosen)
        self.count(len(halves))
        for first, second in halves:
            ones, others = self.sizes(first), self.sizes(second)
            if (
                ones[0][0] + others[0][0] <= self.width
                or ones[-1][1] + others[-1][1] <= self.height
            ):
                return True
        return False

    def _sizes(self, chosen: tuple[int, ...]) -> list[Block]:
        if not self.fits(chosen):
            return []
        found: list[Block] = []
        for first, second in self.halves(chosen):
            ones, others = self.sizes(first), self.sizes(second)
            self.count(len(ones) + len(others))
            self._beside(ones, others, found)
            self._above(ones, others, found)
        return self._best(found)

    def _beside(
        self, ones: list[Block], others: list[Block], found: list[Block]
    ) -> None:
        """Add the least sizes of two sets side by side.

        From the narrowest of both on, only the taller one has to give way; so each
        height is met once, with the narrowest of both sets that are no taller.
        """
        at = to = 0
        while at < len(ones) and to < len(others):
            (width, height), (wide, high) = ones[at], others[to]
            if width + wide > self.width:
                return
            found.append((width + wide, height if height > high else high))
            at += height >= high
            to += high >= height

    def _above(
        self, ones: list[Block], others: list[Block], found: list[Block]
    ) -> None:
        """Add the least sizes of two sets one above the other, from the lowest on."""
        at, to = len(ones) - 1, len(others) - 1
        while at >= 0 and to >= 0:
            (width, height), (wide, high) = ones[at], others[to]
            if height + high > self.height:
                return
            found.append((width if width > wide else wide, height + high))
            at -= width >= wide
            to -= wide >= width

    def count(self, steps: int) -> None:
        """Use up steps; raise TooLong when there are no more."""
        self.left -= steps + 2
        self.asked += 1
        if self.left < 0 or (self.asked % ASK_STOP == 0 and self.stop()):
            raise TooLong

    def halves(
        self, chosen: tuple[int, ...]
    ) -> list[tuple[tuple[int, ...], tuple[int, ...]]]:
        """Return the ways to part a set in two, the first piece in the first half."""
        parts: set[tuple[tuple[int, ...], tuple[int, ...]]] = {((chosen[0],), ())}
        for sort in chosen[1:]:
            parts = {
                pair
                for one, other in parts
                for pair in (((*one, sort), other), (one, (*other, sort)))
            }
        return sorted(pair for pair in parts if pair[1])

    def _best(self, sizes: list[Block]) -> list[Block]:
        kept: list[Block] = []
        for width, height in sorted(sizes):
            if width > self.width or height > self.height:
                continue
            if not kept or height < kept[-1][1]:
                kept.append((width, height))
        return kept

    def moves(self, chosen: tuple[int, ...], sheet: int) -> tuple[Move, ...]:
        """Return the moves that cut a set that fits from a numbered sheet."""
        moves: list[Move] = []
        block = self.sizes(chosen)[0]
        waiting = [(chosen, block, (0, 0, self.width, self.height))]
        while waiting:
            chosen, block, (x, y, width, height) = waiting.pop()
            room = (x, y, width, height, sheet)
            if len(chosen) == 1:
                ways = self.problem.sorts[chosen[0]].ways
                way = next(
                    at for at, one in enumerate(ways) if (one[0], one[1]) == block
                )
                moves.append((chosen[0], way, True, *room))
                continue
            upright, first, one, second, other = self._halved(chosen, block)
            at = one[0] if upright else one[1]
            moves.append((-1, at, upright, *room))
            if upright:
                waiting.append((first, one, (x, y, at, height)))
                waiting.append((second, other, (x + at, y, width - at, height)))
            else:
                waiting.append((first, one, (x, y, width, at)))
                waiting.append((second, other, (x, y + at, width, height - at)))
        return tuple(moves)

    def _halved(
        self, chosen: tuple[int, ...], block: Block
    ) -> tuple[bool, tuple[int, ...], Block, tuple[int, ...], Block]:
        """Return how a block was put together: which way, and its two halves."""
        for first, second in self.halves(chosen):
            for one, other in product(self.sizes(first), self.sizes(second)):
                if (one[0] + other[0], max(one[1], other[1])) == block:
                    return True, first, one, second, other
                if (max(one[0], other[0]), one[1] + other[1]) == block:
                    return False, first, one, second, other
        raise AssertionError(chosen)  # pragma: no cover - every block has halves

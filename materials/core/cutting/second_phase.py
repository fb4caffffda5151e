"""The second phase: the same money and sheets, but a larger rectangle left to keep.

One sheet is made shorter and everything is squeezed into what remains; how much
shorter is found by halving. What was taken off stays whole and goes on the rack. The
largest rectangle found is no proven best.
"""

from __future__ import annotations

from random import Random

from materials.core.cutting.cut_list import worth_keeping
from materials.core.cutting.greedy import Free, Move
from materials.core.cutting.problem import Problem
from materials.core.cutting.records import Rules
from materials.core.cutting.search import Found, Search
from materials.core.cutting.squeeze import Squeeze
from materials.core.cutting.trees import free_rooms

HALVINGS = 6


def with_larger_leftover(
    search: Search, found: Found, rules: Rules, work: int
) -> Found:
    """Return a plan of the same sheets with as large a leftover as was found.

    Method: bisection over the length cut off one sheet of each size, each length
    judged by ruin and recreate with a share of `work`; a heuristic.
    """
    if rules.leftover is None or work <= 0:
        return found
    return _Phase(search, rules, work).improved(found)


class _Phase:
    """One plan's second phase."""

    def __init__(self, search: Search, rules: Rules, work: int) -> None:
        self.search = search
        self.problem: Problem = search.problem
        self.rules = rules
        self.rng = Random("second phase")  # noqa: S311 - a search, no secret
        self.work = work

    def improved(self, found: Found) -> Found:
        """Return the plan with the largest leftover, perhaps the one given."""
        chances = [
            (at, along) for at in self._emptiest(found).values() for along in (0, 1)
        ]
        share = self.work // (len(chances) * HALVINGS)
        best, largest = found, self._largest(found)
        for at, along in chances:
            best, largest = self._shortened(best, largest, (at, along), share)
        return best

    def _emptiest(self, found: Found) -> dict[int, int]:
        """Return, for each size used, the sheet with the least on it."""
        sorts = self.problem.sorts
        order = sorted(
            range(len(found.sizes)),
            key=lambda at: (
                -sum(sorts[move[0]].area for move in found.moves[at] if move[0] >= 0)
            ),
        )
        return {found.sizes[at]: at for at in order}

    def _largest(self, found: Found) -> int:
        """Return the area of the largest room that is worth keeping."""
        largest = 0
        for at, moves in enumerate(found.moves):
            size = self.problem.sizes[found.sizes[at]]
            whole = (size.width, size.height, 0, 0, at)
            packer = self.search.packer
            for room in free_rooms(moves, whole, packer.ways, packer.dust):
                largest = max(largest, self._worth(room[0], room[1]))
        return largest

    def _worth(self, width: int, height: int) -> int:
        kerf, divisor = self.rules.kerf, self.problem.divisor
        sides = width * divisor - kerf, height * divisor - kerf
        return width * height if worth_keeping(*sides, self.rules) else 0

    def _shortened(
        self, found: Found, largest: int, chance: tuple[int, int], share: int
    ) -> tuple[Found, int]:
        """Cut more and more off one sheet along one axis, as long as all fits."""
        at, along = chance
        size = self.problem.sizes[found.sizes[at]]
        sides = size.width, size.height
        across = sides[1 - along]
        spare = sum(self.problem.sizes[one].area for one in found.sizes)
        spare -= self.problem.area
        low = largest // across
        high = min(sides[along] - 1, spare // across)
        for _ in range(HALVINGS):
            off = (low + high + 1) // 2
            if off <= low or self.search.budget.stop():
                break
            wide, tall = (off, across) if along == 0 else (across, off)
            strip = self._worth(wide, tall)
            tried = self._without(found, at, along, off, share) if strip else None
            if tried is None:
                high = off - 1
            else:
                found, largest, low = tried, strip, off
        return found, largest

    def _without(
        self, found: Found, at: int, along: int, off: int, work: int
    ) -> Found | None:
        """Squeeze everything into the sheets with so much off one of them."""
        packer = self.search.packer
        least = self.problem.least
        rooms = [
            (self.problem.sizes[one].width, self.problem.sizes[one].height)
            for one in found.sizes
        ]
        whole = rooms[at]
        kept = whole[along] - off
        if least and (off < least or kept < least):
            return None
        rooms[at] = (kept, whole[1]) if along == 0 else (whole[0], kept)
        squeeze = Squeeze(packer, self.search.keys, rooms)
        squeeze.resume(*self._begun(found, at, rooms))
        if not squeeze.run(self.rng, work, self.search.budget.stop):
            return None
        moves = [tuple(one) for one in squeeze.moves]
        parting: Move = (-1, kept, along == 0, 0, 0, *whole, at)
        if not all(moves):
            return None
        moves[at] = (parting, *moves[at])
        return Found(sizes=found.sizes, moves=tuple(moves), cost=found.cost)

    def _begun(
        self, found: Found, at: int, rooms: list[tuple[int, int]]
    ) -> tuple[list[Move], list[Free], list[int]]:
        """Return the other sheets' moves and rooms, and the pieces of the one."""
        packer = self.search.packer
        moves: list[Move] = []
        free: list[Free] = [(*rooms[at], 0, 0, at)]
        for number, cut in enumerate(found.moves):
            if number == at:
                continue
            own = tuple((*move[:7], number) for move in cut)
            moves += own
            whole = (*rooms[number], 0, 0, number)
            free += free_rooms(own, whole, packer.ways, packer.dust)
        out = [move[0] for move in found.moves[at] if move[0] >= 0]
        return moves, free, out

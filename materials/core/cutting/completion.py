"""Ask whether so many sheets can be enough, and answer exactly: yes, no, or too long.

Sheet after sheet is completed: the largest piece left must lie on some sheet, so every
largest set of pieces that fits on one sheet together with it is tried, and what is
left has to fit the remaining sheets. Dual feasible functions cut most of it off: a
sheet may waste no more of each stand-in area than all sheets together can spare.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from materials.core.cutting.blocks import Blocks
from materials.core.cutting.bounds import StandIn, stand_ins
from materials.core.cutting.greedy import Move
from materials.core.cutting.problem import Problem, Size

LOOKS = 2
"""Steps that looking at one more piece for a set counts for."""

Chosen = tuple[int, ...]
"""Sorts on one sheet, rising, alike ones repeated."""


class Completion:
    """The exact question for one number of sheets of one size.

    Method: bin completion; exponential, ended when `blocks.left` steps are used up.
    Without a snap rule a plan found is a plan; with one, only its "no" counts, as it
    asks for less.
    """

    def __init__(
        self, problem: Problem, size: Size, *, stop: Callable[[], bool]
    ) -> None:
        self.problem = problem
        self.blocks = Blocks(problem, size, stop=stop)
        self.areas = stand_ins(problem, size)
        self.failed: set[tuple[int, ...]] = set()
        sorts = problem.sorts
        self.by_size = sorted(range(len(sorts)), key=lambda at: -sorts[at].area)
        self.lanes = Lanes(self.areas, 1)

    def plan(self, sheets: int) -> list[tuple[Move, ...]] | None:
        """Return the moves of each sheet, or None when so many cannot be enough.

        Raises: TooLong when the steps are used up before an answer.
        """
        left = [sort.count for sort in self.problem.sorts]
        spare = [
            area.capacity * sheets
            - sum(one * n for one, n in zip(area.values, left, strict=True))
            for area in self.areas
        ]
        if min(spare) < 0:
            return None
        self.lanes = Lanes(self.areas, sheets)
        chosen = self._completed(left, self.lanes.packed(spare), sheets)
        if chosen is None:
            return None
        return [self.blocks.moves(one, at) for at, one in enumerate(chosen)]

    def _completed(
        self, left: list[int], spare: int, sheets: int
    ) -> list[Chosen] | None:
        """Return what lies on each of the sheets, or None; `left` is not changed."""
        first = next((sort for sort in self.by_size if left[sort]), None)
        if first is None:
            return []
        key = (sheets, *left)
        if not sheets or key in self.failed:
            return None
        lanes = self.lanes
        # A set that could take one more piece is left out: the larger serves too.
        for chosen in _Sets(self, left, spare).with_piece(first):
            rest = left.copy()
            for sort in chosen:
                rest[sort] -= 1
            worth = sum([lanes.values[sort] for sort in chosen])
            found = self._completed(rest, spare + worth - lanes.capacity, sheets - 1)
            if found is not None:
                return [chosen, *found]
        self.failed.add(key)
        return None


class Lanes:
    """All stand-in areas side by side in one whole number, a lane of bits for each.

    Sums of such numbers are sums of every lane at once, and one subtraction compares
    them all: the top bit of each lane is lent, and comes back where nothing is short.
    """

    def __init__(self, areas: list[StandIn], sheets: int) -> None:
        # What is chosen, what is left and what is spare are added up at most.
        most = max(area.capacity for area in areas) * (2 * sheets + 2)
        self.bits = most.bit_length() + 1
        self.lent = self.packed([1 << (self.bits - 1)] * len(areas))
        self.capacity = self.packed([area.capacity for area in areas])
        self.full = self.capacity | self.lent
        by_sort = zip(*(area.values for area in areas), strict=True)
        self.values = [self.packed(values) for values in by_sort]

    def packed(self, values: Sequence[int]) -> int:
        """Return one number a lane as one whole number; none may be below 0."""
        found = 0
        for value in reversed(values):
            found = (found << self.bits) | value
        return found


class _Sets:
    """The sets of pieces for one sheet, grown piece by piece."""

    def __init__(self, completion: Completion, left: list[int], spare: int) -> None:
        self.blocks = completion.blocks
        self.lanes = completion.lanes
        self.left = left
        self.order = [sort for sort in completion.by_size if left[sort]]
        self.spare = spare
        self.rests = self._rests()
        self.found: list[Chosen] = []
        self.key = completion.areas[0].values

    def _rests(self) -> list[int]:
        """Return from each place of the order on what the pieces and the spare are."""
        rests = [self.spare]
        for sort in reversed(self.order):
            rests.append(rests[-1] + self.lanes.values[sort] * self.left[sort])
        return rests[::-1]

    def with_piece(self, first: int) -> list[Chosen]:
        """Return the sets, the fullest first."""
        self._grow((first,), self.lanes.values[first], 0)
        self.found.sort(key=lambda chosen: -sum([self.key[sort] for sort in chosen]))
        return self.found

    def _grow(self, chosen: Chosen, worth: int, place: int) -> None:
        """Add pieces from a place of the order on; note every set that is full."""
        lanes, left = self.lanes, self.left
        lent, full, capacity = lanes.lent, lanes.full, lanes.capacity
        self.blocks.count((len(self.order) - place) * LOOKS)
        for at in range(place, len(self.order)):
            if ((worth + self.rests[at] | lent) - capacity) & lent != lent:
                return
            sort = self.order[at]
            value = worth + lanes.values[sort]
            if (full - value) & lent != lent or chosen.count(sort) == left[sort]:
                continue
            grown = tuple(sorted((*chosen, sort)))
            if self._fits(grown):
                self._grow(grown, value, at)
        enough = ((worth + self.spare | lent) - capacity) & lent == lent
        if enough and self._is_full(chosen, worth):
            self.found.append(chosen)

    def _fits(self, chosen: Chosen) -> bool:
        self.blocks.count(1)
        return self.blocks.fits(chosen)

    def _is_full(self, chosen: Chosen, worth: int) -> bool:
        lanes = self.lanes
        lent, room = lanes.lent, lanes.full - worth
        for sort in self.order:
            if (room - lanes.values[sort]) & lent != lent:
                continue
            if chosen.count(sort) < self.left[sort] and self._fits(
                tuple(sorted((*chosen, sort)))
            ):
                return False
        return True

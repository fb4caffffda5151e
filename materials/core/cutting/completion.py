"""Ask whether so many sheets can be enough, and answer exactly: yes, no, or too long.

Sheet after sheet is completed: the largest piece left must lie on some sheet, so every
largest set of pieces that fits on one sheet together with it is tried, and what is
left has to fit the remaining sheets. Dual feasible functions cut most of it off: a
sheet may waste no more of each stand-in area than all sheets together can spare.
"""

from __future__ import annotations

from collections.abc import Callable

from materials.core.cutting.blocks import Blocks
from materials.core.cutting.bounds import stand_ins
from materials.core.cutting.greedy import Move
from materials.core.cutting.problem import Problem, Size

TIGHTEST = 24
"""Stand-in areas looked at while a set grows; the others when it is done."""

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
        chosen = self._completed(left, spare, sheets)
        if chosen is None:
            return None
        return [self.blocks.moves(one, at) for at, one in enumerate(chosen)]

    def _completed(
        self, left: list[int], spare: list[int], sheets: int
    ) -> list[Chosen] | None:
        """Return what lies on each of the sheets, or None; `left` is not changed."""
        first = next((sort for sort in self.by_size if left[sort]), None)
        if first is None:
            return []
        key = (sheets, *left)
        if not sheets or key in self.failed:
            return None
        for chosen in self._sets(first, left, spare):
            rest = left.copy()
            for sort in chosen:
                rest[sort] -= 1
            wasted = [
                room - area.capacity + sum([area.values[sort] for sort in chosen])
                for room, area in zip(spare, self.areas, strict=True)
            ]
            if min(wasted) < 0:
                continue
            found = self._completed(rest, wasted, sheets - 1)
            if found is not None:
                return [chosen, *found]
        self.failed.add(key)
        return None

    def _sets(self, first: int, left: list[int], spare: list[int]) -> list[Chosen]:
        """Return the largest sets with a piece that waste no more than can be spared.

        A set that could take one more piece is left out: the larger one serves too.
        """
        return _Sets(self, left, spare).with_piece(first)


class _Sets:
    """The sets of pieces for one sheet, grown piece by piece."""

    def __init__(self, completion: Completion, left: list[int], spare: list[int]):
        self.blocks = completion.blocks
        self.areas = completion.areas[:TIGHTEST]
        self.left = left
        self.order = [sort for sort in completion.by_size if left[sort]]
        self.least = [
            area.capacity - room for area, room in zip(self.areas, spare, strict=False)
        ]
        self.rests = self._rests()
        self.found: list[Chosen] = []

    def _rests(self) -> list[list[int]]:
        """Return, from each place of the order on, what all pieces left are worth."""
        rests = [[0] * len(self.areas)]
        for sort in reversed(self.order):
            rests.append(
                [
                    worth + area.values[sort] * self.left[sort]
                    for worth, area in zip(rests[-1], self.areas, strict=True)
                ]
            )
        return rests[::-1]

    def with_piece(self, first: int) -> list[Chosen]:
        """Return the sets, the fullest first."""
        self._grow((first,), [area.values[first] for area in self.areas], 0)
        key = self.areas[0].values
        self.found.sort(key=lambda chosen: -sum([key[sort] for sort in chosen]))
        return self.found

    def _grow(self, chosen: Chosen, worth: list[int], place: int) -> None:
        """Add pieces from a place of the order on; note every set that is full."""
        for at in range(place, len(self.order)):
            sort = self.order[at]
            if chosen.count(sort) == self.left[sort]:
                continue
            rest = self.rests[at]
            if any(
                have + more < least
                for have, more, least in zip(worth, rest, self.least, strict=True)
            ):
                return
            grown = tuple(sorted((*chosen, sort)))
            values = [
                have + area.values[sort]
                for have, area in zip(worth, self.areas, strict=True)
            ]
            if self._fits(grown, values):
                self._grow(grown, values, at)
        if all(
            have >= least for have, least in zip(worth, self.least, strict=True)
        ) and self._is_full(chosen, worth):
            self.found.append(chosen)

    def _fits(self, chosen: Chosen, worth: list[int]) -> bool:
        self.blocks.count(1)
        if any(
            have > area.capacity for have, area in zip(worth, self.areas, strict=True)
        ):
            return False
        return self.blocks.fits(chosen)

    def _is_full(self, chosen: Chosen, worth: list[int]) -> bool:
        for sort in self.order:
            if chosen.count(sort) < self.left[sort]:
                values = [
                    have + area.values[sort]
                    for have, area in zip(worth, self.areas, strict=True)
                ]
                if self._fits(tuple(sorted((*chosen, sort))), values):
                    return False
        return True

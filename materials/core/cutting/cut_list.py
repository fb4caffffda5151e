"""From moves to cuts: the list that a person at the saw follows, part by part.

Moves are in the search's numbers, with the kerf added to everything; cuts are in the
job's. A cut at `at` eats `at` to `at` + kerf. A cut beyond which nothing but dust is
left is made last, on the piece itself, so that no part changes its number by it; dust
wider than the kerf takes more than one pass, from the outside in.
"""

from __future__ import annotations

from dataclasses import dataclass

from materials.core.cutting.greedy import Move
from materials.core.cutting.problem import Problem, Way
from materials.core.cutting.records import Cut, CutSheet, Leftover, Placed, Rules

Box = tuple[int, int, int, int]
"""A part in the job's numbers: x, y, width, height."""


@dataclass(slots=True, kw_only=True)
class _Part:
    """A part of the sheet, the free rectangle it stands for, and its number."""

    number: int
    box: Box
    room: Box


class CutList:
    """The cuts of one sheet, made from its moves."""

    def __init__(
        self, problem: Problem, rules: Rules, moves: tuple[Move, ...], sheet: Box
    ) -> None:
        self.problem = problem
        self.rules = rules
        self.moves = {move[3:7]: move for move in moves}
        self.cuts: list[Cut] = []
        self.placed: list[tuple[int, Box, bool]] = []
        self.rest: list[Box] = []
        self.parts = 1
        self.trims: list[tuple[_Part, Way]] = []
        grown = (0, 0, *[side + rules.kerf for side in sheet[2:]])
        room = tuple(number // problem.divisor for number in grown)
        whole = _Part(number=0, box=sheet, room=(room[0], room[1], room[2], room[3]))
        waiting = [whole]
        while waiting:
            waiting += reversed(self._divided(waiting.pop()))
        for part, way in self.trims:
            self._trim(part, way)

    def _divided(self, part: _Part) -> list[_Part]:
        """Cut a part as its move says; return the parts still to look at."""
        move = self.moves.get(part.room)
        if move is None:
            self.rest.append(part.box)
            return []
        if move[0] < 0:
            return self._parted(part, move)
        way = self.problem.sorts[move[0]].ways[move[1]]
        x, y, width, height = part.room
        first, second = ("x", "y") if move[2] else ("y", "x")
        beside: list[_Part] = []
        for axis in (first, second):
            wide, high = (way[0], height) if axis == "x" else (width, way[1])
            if width - wide + height - high <= self.problem.dust:
                continue
            kept = (x, y, wide, high)
            if axis == "x":
                beyond = (x + wide, y, width - wide, high)
            else:
                beyond = (x, y + high, wide, height - high)
            part, other = self._cut(part, axis, kept, beyond)
            width, height = wide, high
            if other is not None:
                beside.append(other)
        self.trims.append((part, way))
        self.placed.append((move[0], part.box, way[2]))
        return beside

    def _parted(self, part: _Part, move: Move) -> list[_Part]:
        """Cut a part in two where the move puts no piece."""
        x, y, width, height = part.room
        at = move[1]
        if move[2]:
            kept, beyond = (x, y, at, height), (x + at, y, width - at, height)
        else:
            kept, beyond = (x, y, width, at), (x, y + at, width, height - at)
        near, far = self._cut(part, "x" if move[2] else "y", kept, beyond)
        return [near] if far is None else [near, far]

    def _cut(
        self, part: _Part, axis: str, kept: Box, beyond: Box
    ) -> tuple[_Part, _Part | None]:
        """Cut when there is something beyond; else leave the part wider as it is."""
        kerf, divisor = self.rules.kerf, self.problem.divisor
        along = 0 if axis == "x" else 1
        if beyond[2 + along] <= self.problem.dust:
            part.room = kept
            return part, None
        at = beyond[along] * divisor - kerf
        near, far = _halves(part.box, along, at, kerf)
        self.cuts.append(Cut(part=part.number, axis=axis, at=at))
        self.parts += 2
        return (
            _Part(number=self.parts - 2, box=near, room=kept),
            _Part(number=self.parts - 1, box=far, room=beyond),
        )

    def _trim(self, part: _Part, way: Way) -> None:
        """Cut a piece to size where only dust is left beyond it, pass by pass."""
        kerf, divisor = self.rules.kerf, self.problem.divisor
        for along, axis in enumerate(("x", "y")):
            target = part.box[along] + way[along] * divisor - kerf
            while (end := part.box[along] + part.box[2 + along]) > target:
                at = max(target, end - kerf)
                self.cuts.append(Cut(part=part.number, axis=axis, at=at))
                near, _far = _halves(part.box, along, at, kerf)
                part.number, part.box = self.parts, near
                self.parts += 1

    def sheet(self, stock: str, names: list[list[str]]) -> CutSheet:
        """Return the finished sheet; names are taken from the lists given."""
        placed = []
        for (sort, _box, turned), (part, _way) in zip(
            self.placed, self.trims, strict=True
        ):
            x, y, width, height = part.box
            placed.append(
                Placed(
                    name=names[sort].pop(),
                    x=x,
                    y=y,
                    width=width,
                    height=height,
                    turned=turned,
                )
            )
        return CutSheet(stock=stock, pieces=tuple(placed), cuts=tuple(self.cuts))

    def leftovers(self, sheet: int) -> list[Leftover]:
        """Return the parts worth keeping."""
        return [
            Leftover(sheet=sheet, x=x, y=y, width=width, height=height)
            for x, y, width, height in self.rest
            if worth_keeping(width, height, self.rules)
        ]


def worth_keeping(width: int, height: int, rules: Rules) -> bool:
    """Return whether a rectangle is worth keeping, either way round."""
    if rules.leftover is None:
        return False
    short, long = sorted(rules.leftover)
    return min(width, height) >= short and max(width, height) >= long


def _halves(box: Box, along: int, at: int, kerf: int) -> tuple[Box, Box]:
    x, y, width, height = box
    if along == 0:
        return (x, y, at - x, height), (at + kerf, y, x + width - at - kerf, height)
    return (x, y, width, at - y), (x, at + kerf, width, y + height - at - kerf)

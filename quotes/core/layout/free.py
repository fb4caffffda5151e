"""Tiles needed if cut pieces might lie anywhere: guillotine packing of their boxes.

The kindest reading of reuse: it shows sawn edges in the field. Heuristic, so the
figure is the best found, never above the strict one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

_SPLITS = ("across", "up", "largest")


@dataclass(frozen=True, slots=True)
class Rectangle:
    """The bounding rectangle of alike pieces, in ticks, and how many there are."""

    width: int
    height: int
    count: int


def free_tiles(
    pieces: Sequence[Rectangle], *, length: int, width: int, kerf: int, turning: bool
) -> int:
    """Return how many tiles the rectangles need when they may lie anywhere.

    Units: ticks.
    Method: heuristic; tile by tile, largest rectangle first, each rest filled with
    the largest that fits; the best of three ways to split and two orders.
    """
    orders = (
        sorted(pieces, key=lambda p: (-p.width * p.height, -p.width, -p.height)),
        sorted(pieces, key=lambda p: (-max(p.width, p.height), -p.width * p.height)),
    )
    return min(
        _Bench(order, length, width, kerf, turning, split).tiles()
        for order, split in product(orders, _SPLITS)
    )


@dataclass(slots=True)
class _Bench:
    """One way of packing: the order of pieces, and how a rest is split."""

    pieces: Sequence[Rectangle]
    length: int
    width: int
    kerf: int
    turning: bool
    split: str

    def tiles(self) -> int:
        """Pack everything; alike tiles are taken at once."""
        left = [piece.count for piece in self.pieces]
        used_tiles = 0
        while any(left):
            used = self._filled(left)
            times = min(left[index] // n for index, n in used.items())
            used_tiles += times
            for index, n in used.items():
                left[index] -= n * times
        return used_tiles

    def _filled(self, left: Sequence[int]) -> dict[int, int]:
        used: dict[int, int] = {}
        rests = [(self.length, self.width)]
        while rests:
            rest = rests.pop()
            found = self._largest(rest, left, used)
            if found is None:
                continue
            index, across, up = found
            used[index] = used.get(index, 0) + 1
            rests.extend(self._rests(rest, across, up))
        if not used:
            # A box a hair larger than the tile still comes from one tile.
            index = next(index for index, n in enumerate(left) if n)
            used[index] = 1
        return used

    def _largest(
        self, rest: tuple[int, int], left: Sequence[int], used: dict[int, int]
    ) -> tuple[int, int, int] | None:
        for index, piece in enumerate(self.pieces):
            if left[index] <= used.get(index, 0):
                continue
            for across, up in self._ways(piece):
                if across <= rest[0] and up <= rest[1]:
                    return index, across, up
        return None

    def _ways(self, piece: Rectangle) -> Sequence[tuple[int, int]]:
        straight = (piece.width, piece.height)
        if not self.turning or piece.width == piece.height:
            return (straight,)
        return (straight, straight[::-1])

    def _rests(
        self, rest: tuple[int, int], across: int, up: int
    ) -> list[tuple[int, int]]:
        beside, above = rest[0] - across - self.kerf, rest[1] - up - self.kerf
        first = [(beside, rest[1]), (across, above)]
        second = [(beside, up), (rest[0], above)]
        if self.split == "across":
            chosen = first
        elif self.split == "up":
            chosen = second
        else:
            chosen = max(first, second, key=lambda pair: max(w * h for w, h in pair))
        return [(w, h) for w, h in chosen if w > 0 and h > 0]

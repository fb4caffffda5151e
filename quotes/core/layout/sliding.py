"""Pieces without a factory edge in a direction may move along it in their tile.

A kerb face or a riser is sawn on both sides; it need not keep its place. Positions
tried: against either edge of the tile, and behind one, two or three other pieces.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

import numpy as np

from quotes.core.geometry import TickRing, nearest_tick
from quotes.core.layout.fit import SLACK, Fit, turned_ring
from quotes.core.pattern import Item

_MOST_STEPS = 10

Move = tuple[int, int, int]
"""Rank of the turn, and how far along and across the piece then moves, in ticks."""


class SlidingFit(Fit):
    """A fit whose classes also have moved placements, padded to one number each."""

    def __init__(
        self,
        item: Item,
        outlines: Sequence[TickRing],
        *,
        kerf: int,
        turns: Sequence[int],
    ) -> None:
        super().__init__(item, outlines, kerf=kerf, turns=turns)
        self.outlines = tuple(outlines)
        self.moves = [self._moves(index) for index in range(len(outlines))]

    @property
    def per_class(self) -> int:
        """How many placements each class has, padding included."""
        return max(len(moves) for moves in self.moves)

    def degrees(self, rank: int, piece: int) -> int:
        """Return the turn of a placement."""
        return self.turns[self.moves[piece][rank][0]]

    def outline_of(self, piece: int, rank: int, outline: TickRing) -> TickRing:
        """Return an outline where the placement puts it."""
        turn, along, across = self.moves[piece][rank]
        ring = turned_ring(self.item, outline, self.turns[turn])
        return tuple((x + along, y + across) for x, y in ring)

    @cached_property
    def _placed(self) -> list[list[TickRing]]:
        return [
            [
                self.outline_of(piece, rank, hull)
                for rank in range(len(self.moves[piece]))
            ]
            for piece, hull in enumerate(self.hulls)
        ]

    def _moves(self, piece: int) -> list[Move]:
        outline = self.outlines[piece]
        length = max(nearest_tick(x) for x, _ in self.item.outline)
        width = max(nearest_tick(y) for _, y in self.item.outline)
        free_x = not _has_edge(outline, 0, length)
        free_y = not _has_edge(outline, 1, width)
        moves: list[Move] = []
        for rank, turn in enumerate(self.turns):
            ring = turned_ring(self.item, self.hulls[piece], turn)
            # Quarter turns of a square exchange the two directions.
            turned = turn % 180 != 0
            along = (
                self._steps(ring, 0, length) if (free_y if turned else free_x) else [0]
            )
            across = (
                self._steps(ring, 1, width) if (free_x if turned else free_y) else [0]
            )
            moves.extend((rank, dx, dy) for dx in along for dy in across)
        return moves

    def _steps(self, ring: TickRing, axis: int, side: int) -> list[int]:
        low = min(corner[axis] for corner in ring)
        size = max(corner[axis] for corner in ring) - low
        others = {
            max(corner[axis] for corner in hull) - min(corner[axis] for corner in hull)
            for hull in self.hulls
        }
        ahead = {0, side - size}
        ahead.update(times * (size + self.kerf) for times in (1, 2, 3))
        ahead.update(other + self.kerf for other in others)
        fitting = sorted(place for place in ahead if 0 <= place <= side - size)
        return [place - low for place in fitting[:_MOST_STEPS]]

    @cached_property
    def masks(self) -> list[int]:
        """For each placement, the mask of all placements it agrees with."""
        return self._all_masks()

    def _all_masks(self) -> list[int]:
        rings = [
            (piece, rank, ring)
            for piece, placed in enumerate(self._placed)
            for rank, ring in enumerate(placed)
        ]
        boxes = np.array([_box(ring) for _, _, ring in rings], dtype=np.int64)
        gap_x = np.maximum(
            boxes[None, :, 0] - boxes[:, None, 2], boxes[:, None, 0] - boxes[None, :, 2]
        )
        gap_y = np.maximum(
            boxes[None, :, 1] - boxes[:, None, 3], boxes[:, None, 1] - boxes[None, :, 3]
        )
        agree = np.maximum(gap_x, gap_y) >= self.kerf - SLACK
        masks = [0] * (len(self.moves) * self.per_class)
        bits = [piece * self.per_class + rank for piece, rank, _ in rings]
        for row, bit in enumerate(bits):
            masks[bit] = sum(1 << bits[col] for col in np.flatnonzero(agree[row]))
        return masks


def slid(fit: Fit, outlines: Sequence[TickRing]) -> Fit:
    """Return a fit that lets pieces slide, or the same where nothing can."""
    if not fit.item.is_oblong:
        return fit
    length = max(nearest_tick(x) for x, _ in fit.item.outline)
    width = max(nearest_tick(y) for _, y in fit.item.outline)
    if all(
        _has_edge(ring, 0, length) and _has_edge(ring, 1, width) for ring in outlines
    ):
        return fit
    return SlidingFit(fit.item, outlines, kerf=fit.kerf, turns=fit.turns)


def _has_edge(ring: TickRing, axis: int, side: int) -> bool:
    """Return whether a piece has a factory edge at either end of a direction."""
    following = (*ring[1:], ring[0])
    return any(
        abs(here[axis] - level) <= SLACK and abs(there[axis] - level) <= SLACK
        for here, there in zip(ring, following, strict=True)
        for level in (0, side)
    )


def _box(ring: TickRing) -> tuple[int, int, int, int]:
    across = [x for x, _ in ring]
    up = [y for _, y in ring]
    return min(across), min(up), max(across), max(up)

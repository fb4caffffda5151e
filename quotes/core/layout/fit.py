"""Which cut pieces can come from one tile, each left where it lies in its own tile.

A piece keeps its factory edges towards the field, so it may only be turned by the
tile's own symmetry, never moved. Two pieces share a tile when their hulls are a kerf
apart there; a set of up to four when straight cuts, edge to edge, part them one group
from another. Notches are not recovered: hulls, not outlines, are tested.

Allowed to hold doubles: a kernel of the layout.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from itertools import combinations

import numpy as np

from quotes.core.geometry import (
    Floats,
    Ints,
    TickRing,
    convex_hull,
    cosine_sine,
    distances,
    doubled_area,
    nearest_tick,
)
from quotes.core.pattern import Item

SLACK = 4
"""Two thousandths of a millimetre: corners were rounded to ticks on the way here."""

MOST_IN_ONE = 4
_CHUNK = 4096
_FEW = 40
"""Placements whose pairs are sooner looked at one by one than in arrays."""

Placement = tuple[int, int]
"""A class of pieces and the rank of its turn among the item's turns."""


class Fit:
    """The pieces of one item, largest first, and which of their placements agree.

    Placement (c, t) is bit c × turns + t of every mask, so the lowest bit of a mask
    is the largest piece in it.
    """

    def __init__(
        self,
        item: Item,
        outlines: Sequence[TickRing],
        *,
        kerf: int,
        turns: Sequence[int],
    ) -> None:
        self.item = item
        self.turns = tuple(turns)
        self.kerf = kerf
        self.hulls = [convex_hull(ring) for ring in outlines]
        self.areas = [doubled_area(hull) for hull in self.hulls]
        self._parted: dict[tuple[Placement, ...], bool] = {}

    @property
    def per_class(self) -> int:
        """How many placements each class has."""
        return len(self.turns)

    def degrees(self, rank: int, piece: int) -> int:
        """Return the turn of a placement."""
        del piece
        return self.turns[rank]

    def outline_of(self, piece: int, rank: int, outline: TickRing) -> TickRing:
        """Return an outline where the placement puts it."""
        return turned_ring(self.item, outline, self.degrees(rank, piece))

    def placed(self, placement: Placement) -> TickRing:
        """Return the hull of a class after a turn, in ticks."""
        return self._placed[placement[0]][placement[1]]

    @cached_property
    def _placed(self) -> list[list[TickRing]]:
        corners = _padded(self.hulls)
        by_turn = [_turned_rows(self.item, corners, turn) for turn in self.turns]
        sizes = [len(hull) for hull in self.hulls]
        return [
            [
                tuple((x, y) for x, y in row[:size])
                for row in (rows[rank] for rows in by_turn)
            ]
            for rank, size in enumerate(sizes)
        ]

    @cached_property
    def masks(self) -> list[int]:
        """For each placement, the mask of all placements it agrees with."""
        if self._is_plain():
            return self._plain_masks()
        agree = self._agreement()
        count, turns = len(self.hulls), self.per_class
        rows: list[list[int]] = []
        for turn in range(turns):
            # The agreement of two turned pieces is that of the first unturned and
            # the second turned by the difference.
            rolled = np.roll(agree, turn, axis=2).reshape(count, count * turns)
            packed = np.packbits(rolled, axis=1, bitorder="little")
            rows.append([int.from_bytes(row.tobytes(), "little") for row in packed])
        return [rows[turn][piece] for piece in range(count) for turn in range(turns)]

    def _is_plain(self) -> bool:
        """Whether a few upright boxes are all there is, as on most walls."""
        few = len(self.hulls) * self.per_class <= _FEW
        upright = all(turn % 90 == 0 for turn in self.turns)
        return few and upright and all(_is_box(hull) for hull in self.hulls)

    def _plain_masks(self) -> list[int]:
        """Return the masks of boxes, whose gaps say all: quicker without arrays."""
        boxes = [_box(ring) for rings in self._placed for ring in rings]
        limit = self.kerf - SLACK
        masks = [0] * len(boxes)
        for one, (left, bottom, right, top) in enumerate(boxes):
            for other in range(one, len(boxes)):
                x0, y0, x1, y1 = boxes[other]
                if (
                    x0 - right >= limit
                    or left - x1 >= limit
                    or y0 - top >= limit
                    or bottom - y1 >= limit
                ):
                    masks[one] |= 1 << other
                    masks[other] |= 1 << one
        return masks

    def _agreement(self) -> np.ndarray:
        """Return for class, class, turn whether the two agree: (C, C, T)."""
        count, turns = len(self.hulls), self.per_class
        boxes = np.array(
            [[_box(ring) for ring in rings] for rings in self._placed], dtype=np.int64
        ).reshape(count * turns, 4)
        own = boxes[::turns]
        gap_x = np.maximum(
            boxes[None, :, 0] - own[:, None, 2], own[:, None, 0] - boxes[None, :, 2]
        )
        gap_y = np.maximum(
            boxes[None, :, 1] - own[:, None, 3], own[:, None, 1] - boxes[None, :, 3]
        )
        gap = np.maximum(gap_x, gap_y)
        agree = gap >= self.kerf - SLACK
        square = np.array([_is_box(hull) for hull in self.hulls])
        both_square = square[:, None] & np.repeat(self._square_turned(square), turns)
        size = np.array(self.areas, dtype=np.float64)
        room = float(2 * self.item.area) * (1 + 1e-9)
        too_big = size[:, None] + np.repeat(size, turns)[None, :] > room
        other = np.repeat(np.arange(count), turns)
        first = np.arange(count)[:, None] <= other[None, :]
        open_ = np.argwhere(~agree & ~both_square & ~too_big & first)
        if len(open_):
            apart = self._apart(open_)
            agree[open_[:, 0], open_[:, 1]] = apart
            # Turned back, the second stands and the first is turned the other way.
            back = open_[:, 0] * turns + (-open_[:, 1]) % turns
            agree[open_[:, 1] // turns, back] = apart
        return np.asarray(agree.reshape(count, count, turns))

    def _square_turned(self, square: np.ndarray) -> np.ndarray:
        """Boxes stay boxes under the turns of an oblong; of a hexagon they do not."""
        upright = all(turn % 90 == 0 for turn in self.turns)
        return square if upright else np.zeros_like(square)

    def _apart(self, pairs: Ints) -> np.ndarray:
        rings = _padded(self.hulls)
        turned = _padded([ring for rings in self._placed for ring in rings])
        limit = self.kerf - SLACK
        found = np.zeros(len(pairs), dtype=bool)
        for begin in range(0, len(pairs), _CHUNK):
            some = pairs[begin : begin + _CHUNK]
            gap = np.maximum(
                _edge_gap(rings[some[:, 0]], turned[some[:, 1]]),
                _edge_gap(turned[some[:, 1]], rings[some[:, 0]]),
            )
            clear = gap >= limit
            near = np.flatnonzero((gap > 0) & ~clear)
            if len(near):
                clear[near] = self._distance(some[near]) >= limit
            found[begin : begin + _CHUNK] = clear
        return found

    def _distance(self, pairs: Ints) -> Floats:
        turns = self.per_class
        first = [self.hulls[row] for row, _ in pairs.tolist()]
        second = [self._placed[col // turns][col % turns] for _, col in pairs.tolist()]
        return distances(first, second)

    def agrees(self, first: Placement, second: Placement) -> bool:
        """Return whether two placements share a tile."""
        turns = self.per_class
        return bool(
            self.masks[first[0] * turns + first[1]] >> (second[0] * turns + second[1])
            & 1
        )

    def is_parted(self, placements: Sequence[Placement]) -> bool:
        """Return whether straight cuts part placements that agree pair by pair."""
        if len(placements) < 3:
            return True
        key = tuple(sorted(placements))
        if key not in self._parted:
            self._parted[key] = self._splits(key)
        return self._parted[key]

    def _splits(self, placements: tuple[Placement, ...]) -> bool:
        everyone = set(range(len(placements)))
        for size in range(1, len(placements) // 2 + 1):
            for chosen in combinations(range(len(placements)), size):
                one = [placements[index] for index in chosen]
                rest = [placements[index] for index in everyone.difference(chosen)]
                if self._groups_apart(one, rest) and (
                    self.is_parted(one) and self.is_parted(rest)
                ):
                    return True
        return False

    def _groups_apart(self, one: list[Placement], rest: list[Placement]) -> bool:
        left = [corner for placement in one for corner in self.placed(placement)]
        right = [corner for placement in rest for corner in self.placed(placement)]
        limit = self.kerf - SLACK
        x0, y0, x1, y1 = _box(left)
        x2, y2, x3, y3 = _box(right)
        if max(x2 - x1, x0 - x3, y2 - y1, y0 - y3) >= limit:
            return True
        ring, other = convex_hull(left), convex_hull(right)
        gap = distances([ring], [other])[0]
        return bool(gap > 0 and gap >= limit)


def turned_ring(item: Item, ring: TickRing, turn: int) -> TickRing:
    """Return an outline after one of the item's turns, in whole ticks.

    Rounds: corners to the nearest tick, exact for quarter turns.
    """
    if turn == 0:
        return ring
    moved = [item.turned(corner, turn) for corner in ring]
    return tuple((nearest_tick(x), nearest_tick(y)) for x, y in moved)


def _turned_rows(item: Item, rows: Floats, turn: int) -> list[list[list[int]]]:
    """Return rows of corners after a turn of the item, as `turned_ring` has them."""
    moved = rows
    if turn:
        cosine, sine = cosine_sine(turn)
        middle_x, middle_y = item.centre
        x, y = rows[:, :, 0] - middle_x, rows[:, :, 1] - middle_y
        moved = np.stack(
            [x * cosine - y * sine + middle_x, x * sine + y * cosine + middle_y], axis=2
        )
    found: list[list[list[int]]] = np.rint(moved).astype(np.int64).tolist()
    return found


def _box(ring: Sequence[tuple[int, int]]) -> tuple[int, int, int, int]:
    across = [x for x, _ in ring]
    up = [y for _, y in ring]
    return min(across), min(up), max(across), max(up)


def _is_box(ring: TickRing) -> bool:
    x0, y0, x1, y1 = _box(ring)
    return doubled_area(ring) == 2 * (x1 - x0) * (y1 - y0)


def _padded(rings: Sequence[TickRing]) -> Floats:
    most = max(len(ring) for ring in rings)
    return np.array(
        [[*ring, *[ring[-1]] * (most - len(ring))] for ring in rings], dtype=np.float64
    )


def _edge_gap(first: Floats, second: Floats) -> Floats:
    """Return the widest gap beyond a side of the first outline, pair by pair."""
    along = np.roll(first, -1, axis=1) - first
    length = np.hypot(along[:, :, 0], along[:, :, 1])
    real = length > 0
    out = np.stack([along[:, :, 1], -along[:, :, 0]], axis=2)
    out = out / np.where(real, length, 1)[:, :, None]
    own = np.einsum("nva,nva->nv", out, first)
    reach = np.einsum("nva,nwa->nvw", out, second).min(axis=2)
    return np.asarray(np.where(real, reach - own, -np.inf).max(axis=1))

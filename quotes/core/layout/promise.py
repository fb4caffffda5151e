"""About how many tiles the cut pieces of many origins take, before any is made.

A cut tile is known here by how far it reaches in from each side that cuts it. From
that alone come the least that might do (area, and pieces above half a tile) and what
is likely (pieces cut along one line of the tile, paired end to end). Both only rank
origins: a plan of the pieces themselves settles them.

Allowed to hold doubles: a kernel of the layout.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from quotes.core.geometry import Floats, Ints, Region
from quotes.core.layout.grid import Grid
from quotes.core.layout.records import Rules
from quotes.core.pattern import Lattice

_SAMPLES = 16
_LEVELS = 200
"""A tile's extent in steps, for pairing; kerfs are about one step."""
_DEGREES = 5
"""Lines nearer than this are one line: walls out of square pair none the less."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Reaches:
    """Every side that cuts a tile, one row a pair: how far the tile reaches in there.

    `order` brings the pairs of one tile together, `first` is where each tile begins in
    it, `counted` whether a tile leaves more than slivers. Units: ticks.
    """

    place: Ints
    face: Ints
    side: Ints
    depth: Floats
    order: Ints
    first: Ints
    counted: np.ndarray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Promises:
    """What stays the same for all origins of a surface.

    Shape: for face and side the `extent` of the face across the side, its `shares` by
    depth, the `line` of the tile that the side runs along, and which `hand` of it;
    for each side the one `following`, and whether the region turns `inwards` there.
    """

    item: Ints
    items: int
    extent: Floats
    shares: Floats
    line: Ints
    hand: Ints
    following: Ints
    inwards: np.ndarray
    handed: bool
    kerf: int

    def least(self, reaches: Reaches, origins: int) -> Floats:
        """Return whole ones by area or by pieces above half a tile, item by item."""
        first = reaches.first
        size = np.where(reaches.counted, self._size(reaches), 0)
        lead = reaches.order[first]
        which = reaches.place[lead] * self.items + self.item[reaches.face[lead]]
        most = origins * self.items
        large = np.bincount(which, size > 1 / 2, minlength=most)
        area = np.bincount(which, size, minlength=most)
        # A thousandth of a tile is lost between two samples of a slanted cut.
        each = np.maximum(large, np.ceil(area - 1e-3))
        return np.asarray(each.reshape(origins, self.items).sum(axis=1))

    def _size(self, reaches: Reaches) -> Floats:
        """Return the share of each tile that is left: as if its sides were square.

        Between sides that meet in a corner the shares multiply; about a corner turned
        inwards, what both take away does.
        """
        first, order = reaches.first, reaches.order
        if not len(first):
            return np.zeros(0)
        share = self._share(reaches.face, reaches.side, reaches.depth)[order]
        both = np.multiply.reduceat(share, first)
        either = 1 - np.multiply.reduceat(1 - share, first)
        return np.where(self._turned_inwards(reaches), either, both)

    def _turned_inwards(self, reaches: Reaches) -> np.ndarray:
        """Return for each tile whether a corner of the region turns inwards in it."""
        side = reaches.side[reaches.order]
        tile = np.zeros(len(side), dtype=np.int64)
        tile[reaches.first[1:]] = 1
        tile = np.cumsum(tile)
        here, there = side[:-1], side[1:]
        bent = np.where(
            self.following[here] == there,
            self.inwards[here],
            (self.following[there] == here) & self.inwards[there],
        )
        bent &= tile[1:] == tile[:-1]
        return np.bincount(tile[1:], bent, minlength=len(reaches.first)) > 0

    def likely(self, reaches: Reaches, origins: int) -> Floats:
        """Return the tiles that strips take when they pair from both ends of a tile.

        A piece counts by the side that leaves least of it: what is left of a corner
        goes where a strip of that width would go. Method: for tiles that hold two, the
        fewest are known in closed form, the highest over all levels of the pieces too
        long to pair at that level and half of those between.
        """
        if not len(reaches.first):
            return np.zeros(origins)
        row = self._narrowest(reaches)[reaches.counted]
        face, side = reaches.face[row], reaches.side[row]
        extent = self.extent[face, side]
        level = np.rint((reaches.depth[row] + self.kerf / 2) / extent * _LEVELS)
        level = np.clip(level, 1, _LEVELS + 1).astype(np.int64)
        # What is left about a corner turned inwards is as wide and high as the tile.
        level[self._turned_inwards(reaches)[reaches.counted]] = _LEVELS + 1
        lines = int(self.line.max()) + 1
        group = (reaches.place[row] * lines + self.line[face, side]) * 2
        wide = _LEVELS + 2
        key = (group + self.hand[face, side]) * wide + level
        found = np.bincount(key, minlength=origins * lines * 2 * wide)
        pieces = found.reshape(origins, lines, 2, wide)
        from_level = np.cumsum(pieces[..., ::-1], axis=3)[..., ::-1]
        fewest = _one_of_each(from_level) if self.handed else _any_two(from_level)
        return np.asarray(fewest.sum(axis=1))

    def _narrowest(self, reaches: Reaches) -> Ints:
        """Return for each tile the pair whose side leaves the least of it."""
        order, first = reaches.order, reaches.first
        part = reaches.depth / self.extent[reaches.face, reaches.side]
        part = part[order]
        least = np.minimum.reduceat(part, first)
        tile = np.repeat(np.arange(len(first)), np.diff(np.append(first, len(order))))
        at = np.flatnonzero(part <= least[tile])
        _, lead = np.unique(tile[at], return_index=True)
        return np.asarray(order[at[lead]])

    def _share(self, face: Ints, side: Ints, depth: Floats) -> Floats:
        """Return the share of a face within a depth of the side, between samples."""
        steps = self.shares.shape[2] - 1
        at = np.clip(depth / self.extent[face, side], 0, 1) * steps
        step = np.minimum(at.astype(np.int64), steps - 1)
        low, high = self.shares[face, side, step], self.shares[face, side, step + 1]
        return np.asarray(low + (at - step) * (high - low))


def promises_of(grid: Grid, area: Region, lattice: Lattice, rules: Rules) -> Promises:
    """Return what the tiles of a lattice promise along the sides of a region."""
    normal = inward(area.sides)
    after_it = normal[area.following]
    turn = normal[:, 0] * after_it[:, 1] - normal[:, 1] * after_it[:, 0]
    line, hand = _lines(grid, normal, lattice, rules)
    return Promises(
        item=grid.item,
        items=len(lattice.items),
        extent=_extents(grid, normal),
        shares=_shares(grid, normal),
        line=line,
        hand=hand,
        following=area.following,
        inwards=turn < 0,
        handed=rules.directional,
        kerf=rules.kerf,
    )


def inward(sides: Floats) -> Floats:
    """Return the unit normal to the left of each side."""
    along = sides[:, 2:] - sides[:, :2]
    length = np.hypot(along[:, 0], along[:, 1])
    normal = np.stack([-along[:, 1], along[:, 0]], axis=1) / length[:, None]
    return np.asarray(normal)


def _any_two(from_level: Ints) -> Ints:
    """Return the fewest tiles for pieces of which any two share one if short enough."""
    found = from_level.sum(axis=2)
    low = np.arange(1, _LEVELS // 2 + 1)
    long = found[..., _LEVELS - low + 1]
    return np.asarray((long + (found[..., low] - long + 1) // 2).max(axis=-1))


def _one_of_each(from_level: Ints) -> Ints:
    """Return the fewest tiles for pieces that share one with the other hand only."""
    level = np.arange(_LEVELS + 2)
    one, other = from_level[..., 0, :], from_level[..., 1, :]
    return np.asarray((one[..., _LEVELS + 1 - level] + other[..., level]).max(axis=-1))


def _lines(
    grid: Grid, normal: Floats, lattice: Lattice, rules: Rules
) -> tuple[Ints, Ints]:
    """Return for face and side which line of which item it is, and the hand."""
    in_tile = np.einsum("fba,eb->fea", grid.turn, normal)
    way = np.degrees(np.arctan2(in_tile[..., 1], in_tile[..., 0]))
    way = np.rint(way % 360 / _DEGREES).astype(np.int64) * _DEGREES % 360
    hand = way // 180
    turns = 1 if rules.directional else max(len(item.turns) for item in lattice.items)
    way = way % min(180, 360 // turns)
    kinds = grid.item[:, None] * 360 + way
    _, line = np.unique(kinds, return_inverse=True)
    return line.reshape(kinds.shape), hand


def _extents(grid: Grid, normal: Floats) -> Floats:
    """Return how wide each face is across each side."""
    depth = np.einsum("ea,fva->fev", normal, grid.shape)
    return np.asarray(depth.max(axis=2) - depth.min(axis=2))


def _shares(grid: Grid, normal: Floats) -> Floats:
    """Return for face, side and depth, in _SAMPLES steps, the share of the face within.

    Method: chords across the face, summed by trapezoids.
    """
    along = np.stack([normal[:, 1], -normal[:, 0]], axis=1)
    depth = np.einsum("ea,fva->fev", normal, grid.shape)
    at = np.einsum("ea,fva->fev", along, grid.shape)
    top, low = depth.max(axis=2), depth.min(axis=2)
    # Half a hair within the ends, where a chord is a whole side of the face.
    step = np.linspace(1e-6, 1 - 1e-6, _SAMPLES + 1)
    level = (top[:, :, None] - step * (top - low)[:, :, None])[..., None]
    here, there = depth[:, :, None, :], np.roll(depth, -1, axis=2)[:, :, None, :]
    change = there - here
    crosses = (here >= level) != (there >= level)
    share = np.where(crosses, (level - here) / np.where(crosses, change, 1), 0)
    begin, end = at[:, :, None, :], np.roll(at, -1, axis=2)[:, :, None, :]
    point = begin + share * (end - begin)
    high = np.where(crosses, point, -np.inf).max(axis=3)
    chord = high - np.where(crosses, point, np.inf).min(axis=3)
    area = np.cumsum((chord[:, :, 1:] + chord[:, :, :-1]) / 2, axis=2)
    area = np.concatenate([np.zeros((*area.shape[:2], 1)), area], axis=2)
    return np.asarray(area / area[:, :, -1:])

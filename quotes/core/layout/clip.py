"""Cutting tiles at the edges: every piece in the frame of the tile it comes from.

A tile that one side crosses, or a few that meet in it, keeps what lies between where
they enter and leave it; that is done for all such tiles at once in the
tile's own frame, where the corners of an oblong are whole ticks. Tiles that sides cross
in other ways go through the geometry library.

Allowed to hold doubles: a kernel of the layout. Corners leave it as whole ticks.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from materials.core.lengths import MM
from quotes.core.geometry import Floats, Ints, Region, TickRing, parts_inside
from quotes.core.layout.grid import Grid, after
from quotes.core.layout.rings import alike, packed, tidied_rings
from quotes.core.layout.sparse import Meeting

_NUDGE = 1 / 1024
"""Half ticks all round the same way, whatever the last bit of a double says."""

_MOST_SIDES = 4
"""Sides of one chain through a tile: a room's corner has two, a pillar's end three."""

_TOUCH = 0.1
"""Two sides of a corner just outside a tile come as near as this, in ticks."""

_HOLE = (MM // 10) ** 2
"""Holes that differ by less than a hundredth of a square millimetre are alike."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pieces:
    """Alike pieces as rows of a table: outline, area, and the rows they came from.

    `copy` is the origin they are counted from.
    """

    copy: int
    item: int
    outline: TickRing
    area: int
    members: Ints


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Cuts:
    """Pieces one by one: row of `met`, corners in whole ticks, area, area of holes.

    Shape: `corners` is (x or y, corner, piece), as rings are in this module: a few
    long rows are quick, many short ones are not.
    """

    rows: Ints
    corners: Ints
    area: Floats
    holes: Ints


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Cutter:
    """A region, the lattice over it and the positions its sides meet.

    Shape: `origins` is (n, 2), as `met` was made with.
    """

    grid: Grid
    region: Region
    origins: Floats
    met: Meeting
    least_area: float

    def pieces(self) -> list[Pieces]:
        """Return the cut pieces, alike ones together; `members` are rows of `met`.

        Units: ticks. Rounds: corners to the nearest tick; areas from before that.
        """
        rows, chains, pairs, others = self._ways()
        frames, rings = self._between(rows, chains)
        if pairs:
            rows, rings = self._parted(rows, chains, pairs, (frames, rings))
        cuts = self._kept(rows, rings, _shoelace(rings), np.zeros(len(rows)))
        if len(others):
            cuts = _both(cuts, self._by_library(others))
        items = len(self.grid.face_area)
        found: dict[tuple[int, TickRing, int], list[tuple[float, Ints]]] = {}
        for piece, holes, area, rows in self._classes(cuts):
            found.setdefault((*piece, holes), []).append((area, rows))
        return [
            Pieces(
                copy=item // items,
                item=item % items,
                outline=ring,
                area=round(groups[0][0]),
                members=(
                    groups[0][1]
                    if len(groups) == 1
                    else np.concatenate([members for _, members in groups])
                ),
            )
            for (item, ring, _), groups in found.items()
        ]

    def _ways(self) -> tuple[Ints, Ints, int, Ints]:
        """Return the cut positions by the way sides cross them.

        Sides are a chain when each ends inside where the next begins, the last but
        not inside. Shape: rows of `met`, each with its chain, a short chain repeating
        its last side; at the end come the pairs, tiles that two chains of one side
        cross, first all of them with one side, then again with the other; how many
        pairs there are; and the rows that are none of these.
        """
        met = self.met
        one = np.flatnonzero(met.is_cut & (met.sides == 1))
        several = np.flatnonzero(met.is_cut & (met.sides > 1))
        chained: list[tuple[int, list[int]]] = []
        pairs: list[tuple[int, list[int]]] = []
        others: list[int] = []
        following = self._following()
        begins, counts = met.first[several].tolist(), met.sides[several].tolist()
        for row, begin, count in zip(several.tolist(), begins, counts, strict=True):
            sides = met.side[begin : begin + count].tolist()
            inside = met.ends_inside[begin : begin + count].tolist()
            chain = _chain(sides, inside, following)
            if chain:
                chained.append((row, chain))
            elif count == 2 and not any(inside):
                pairs.append((row, sides))
            else:
                others.append(row)
        singles = [
            *((row, s[:1]) for row, s in pairs),
            *((row, s[1:]) for row, s in pairs),
        ]
        found = [*chained, *singles]
        most = max((len(chain) for _, chain in found), default=1)
        rows = np.array([row for row, _ in found], dtype=np.int64)
        rest = np.array(
            [chain + chain[-1:] * (most - len(chain)) for _, chain in found],
            dtype=np.int64,
        ).reshape(-1, most)
        alone = np.repeat(met.side[met.first[one]][:, None], most, axis=1)
        return (
            np.concatenate([one, rows]),
            np.concatenate([alone, rest]),
            len(pairs),
            np.array(others, dtype=np.int64),
        )

    def _between(self, rows: Ints, chains: Ints) -> tuple[_Frames, Floats]:
        """Clip tiles that the sides of a chain enter once and leave once.

        The piece runs from where the first side enters (a), over the corners between
        the sides, to where the last leaves (b), and back along the tile's edge.
        Shape: the frames of the tiles, and the rings of their pieces.
        """
        face = self.met.face[rows]
        frames = _Frames.of(self.grid, face, self._moved(rows))
        sides, outline = self.met.moved, frames.outline
        index = np.arange(len(rows))
        depth = frames.depths(sides[chains[:, 0]], outline)
        edge_a, a = _crossing(depth, outline, index, leaving=True)
        bent = np.flatnonzero(chains[:, 0] != chains[:, -1])
        some = frames.taken(bent)
        if len(bent):
            depth[:, bent] = some.depths(sides[chains[bent, -1]], some.outline)
        edge_b, b = _crossing(depth, outline, index, leaving=False)
        most, links = depth.shape[0], chains.shape[1]
        rings = np.empty((2, most + links + 1, len(rows)))
        rings[:, :links], rings[:, links] = a[:, None], b
        if len(bent):
            apex = sides[chains[bent, 1:]][:, :, :2].transpose(2, 1, 0)
            rings[:, 1:links, bent] = some.seen(apex)
        taken = (edge_a - edge_b) % most
        # In and out by one edge: the chain goes round the piece, or round the rest.
        taken[(edge_a == edge_b) & (_shoelace(rings[:, : links + 1]) < 0)] = most
        step = np.arange(most)[:, None]
        which = (edge_b + 1 + step) % most
        rings[:, links + 1 :] = np.where(
            step < taken, outline[:, which, index], a[:, None]
        )
        return frames, rings

    def _parted(
        self, rows: Ints, chains: Ints, pairs: int, cut: tuple[_Frames, Floats]
    ) -> tuple[Ints, Floats]:
        """Settle tiles that two sides cross apart from each other.

        Either each side keeps its own end of the tile, and there are two pieces, or
        the strip between them is left, and the piece of one is clipped by the other.
        """
        frames, rings = cut
        first, second = len(rows) - 2 * pairs, len(rows) - pairs
        other = self.met.moved[chains[second:, 0]]
        one = rings[:, :, first:second]
        depth = frames.taken(np.arange(second, len(rows))).depths(other, one)
        strip = np.flatnonzero((depth > _TOUCH).any(axis=0))
        clipped = _clipped(one[:, :, strip], depth[:, strip])
        kept = np.ones(len(rows), dtype=bool)
        kept[first + strip] = kept[second + strip] = False
        rows = np.concatenate([rows[kept], rows[first + strip]])
        wide = _wide(rings[:, :, kept], clipped.shape[1])
        return rows, np.concatenate([wide, clipped], axis=2)

    def _by_library(self, rows: Ints) -> _Cuts:
        grid, face = self.grid, self.met.face[rows]
        moved = self._moved(rows) + self.origins.T[:, self.met.copy[rows]]
        parts = parts_inside(grid.shape[face] + moved.T[:, None, :], self.region)
        owner, corners = parts.owner, packed(parts.corners).transpose(2, 1, 0)
        in_tile = _Frames.of(grid, face[owner], moved[:, owner]).seen(corners)
        return self._kept(rows[owner], in_tile, parts.area, parts.holes)

    def _kept(self, rows: Ints, corners: Floats, area: Floats, holes: Floats) -> _Cuts:
        big = area >= self.least_area
        if not big.all():
            rows, corners = rows[big], corners[:, :, big]
            area, holes = area[big], holes[big]
        return _Cuts(
            rows=rows,
            corners=np.floor(corners + (0.5 - _NUDGE)).astype(np.int64),
            area=area,
            holes=np.rint(holes / _HOLE).astype(np.int64),
        )

    def _classes(
        self, cuts: _Cuts
    ) -> list[tuple[tuple[int, TickRing], int, float, Ints]]:
        """Return pieces that are alike: what they are, holes, area, rows of `met`.

        What they are is the item, counted through all copies, and the outline.
        """
        if not len(cuts.rows):
            return []
        item = self.grid.item[self.met.face[cuts.rows]]
        item = item + self.met.copy[cuts.rows] * len(self.grid.face_area)
        corners = cuts.corners.transpose(2, 1, 0)
        groups, leads = alike(item, cuts.holes, corners)
        rings = tidied_rings(corners[leads])
        return [
            ((one, ring), holes, area, cuts.rows[group])
            for one, ring, holes, area, group in zip(
                item[leads].tolist(), rings, cuts.holes[leads].tolist(),
                cuts.area[leads].tolist(), groups, strict=True,
            )
            if ring
        ]  # fmt: skip

    def _moved(self, rows: Ints) -> Floats:
        """Return where the lattice point of each position lies from its origin."""
        basis, i, j = self.grid.basis, self.met.i[rows], self.met.j[rows]
        moved = np.empty((2, len(rows)))
        moved[0] = basis[0, 0] * i + basis[0, 1] * j
        moved[1] = basis[1, 0] * i + basis[1, 1] * j
        return moved

    def _following(self) -> Ints:
        """Return the side that begins where each ends, through all copies."""
        once = self.region.following
        copies = np.arange(len(self.origins))[:, None] * len(once)
        return np.asarray((copies + once).ravel())


def _chain(sides: list[int], inside: list[bool], following: Ints) -> list[int]:
    """Return the sides in the order they cross a tile; empty if they are no chain."""
    if inside.count(False) != 1 or len(sides) > _MOST_SIDES:
        return []
    after_it = {
        side: int(following[side])
        for side, ends in zip(sides, inside, strict=True)
        if ends
    }
    chain = [side for side in sides if side not in after_it.values()]
    if len(chain) != 1:
        return []
    while chain[-1] in after_it:
        chain.append(after_it[chain[-1]])
    return chain if sorted(chain) == sorted(sides) else []


def _wide(rings: np.ndarray, most: int) -> np.ndarray:
    """Return rings with so many corners, the last repeated."""
    more = np.repeat(rings[:, -1:], max(0, most - rings.shape[1]), axis=1)
    return np.concatenate([rings, more], axis=1)


def _next(rows: np.ndarray) -> np.ndarray:
    return np.concatenate([rows[1:], rows[:1]])


def _clipped(rings: Floats, depth: Floats) -> Floats:
    """Return what of convex rings lies where depth is 0 or more.

    Shape: twice the corners; a corner that falls away repeats the one kept before it.
    """
    corners, count = depth.shape
    following = _next(depth)
    inside = depth >= 0
    crosses = inside != (following >= 0)
    change = np.where(crosses, depth - following, 1)
    share = np.where(crosses, depth / change, 0)
    points = np.empty((2, 2 * corners, count))
    points[:, ::2] = rings
    points[:, 1::2] = rings + share * (after(rings) - rings)
    kept = np.empty((2 * corners, count), dtype=bool)
    kept[::2], kept[1::2] = inside, crosses
    step = np.arange(2 * corners)[:, None]
    rank = np.maximum.accumulate(np.where(kept, step, -1), axis=0)
    rank = np.where(rank < 0, rank[-1:], rank)
    return np.asarray(points[:, rank, np.arange(count)])


def _both(one: _Cuts, other: _Cuts) -> _Cuts:
    most = max(one.corners.shape[1], other.corners.shape[1])
    return _Cuts(
        rows=np.concatenate([one.rows, other.rows]),
        corners=np.concatenate(
            [_wide(one.corners, most), _wide(other.corners, most)], axis=2
        ),
        area=np.concatenate([one.area, other.area]),
        holes=np.concatenate([one.holes, other.holes]),
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Frames:
    """The frames of tiles, one a column: where they begin, their turn, their outline.

    Shape: (2, n), (2, 2, n) and (2, corner, n), in ticks of the room and of the tile.
    """

    begin: Floats
    turn: Floats
    outline: Floats

    @classmethod
    def of(cls, grid: Grid, face: Ints, moved: Floats) -> _Frames:
        """Return the frames of faces whose lattice points lie at `moved`."""
        return cls(
            begin=moved + np.take(grid.start.T, face, axis=1),
            turn=np.take(grid.turn.transpose(1, 2, 0), face, axis=2),
            outline=np.take(grid.outline.transpose(2, 1, 0), face, axis=2),
        )

    def taken(self, rows: Ints) -> _Frames:
        """Return some of them."""
        return _Frames(
            begin=self.begin[:, rows],
            turn=self.turn[:, :, rows],
            outline=self.outline[:, :, rows],
        )

    def seen(self, points: Floats) -> Floats:
        """Return points of the room as the tiles see them; shape (2, any, n)."""
        x, y = points - self.begin[:, None]
        turn = self.turn
        return np.stack(
            [turn[0, 0] * x + turn[1, 0] * y, turn[0, 1] * x + turn[1, 1] * y]
        )

    def depths(self, sides: Floats, corners: Floats) -> Floats:
        """Return how far each corner in a tile lies to the left of the tile's side."""
        start_x, start_y, end_x, end_y = sides.T
        along_x, along_y = end_x - start_x, end_y - start_y
        long = np.hypot(along_x, along_y)
        across, up = -along_y / long, along_x / long
        level = across * (start_x - self.begin[0]) + up * (start_y - self.begin[1])
        turn = self.turn
        tile_x = turn[0, 0] * across + turn[1, 0] * up
        tile_y = turn[0, 1] * across + turn[1, 1] * up
        return np.asarray(tile_x * corners[0] + tile_y * corners[1] - level)


def _crossing(
    depth: Floats, outline: Floats, index: Ints, *, leaving: bool
) -> tuple[Ints, Floats]:
    """Return the edge of each tile on which a side crosses, and where.

    Going round the tile, the region is left on that edge or entered.
    """
    inside = depth >= 0
    ahead = _next(inside)
    crosses = inside > ahead if leaving else inside < ahead
    edge = crosses.argmax(axis=0)
    following = (edge + 1) % len(depth)
    here = depth[edge, index]
    change = here - depth[following, index]
    share = here / np.where(np.abs(change) > 1e-9, change, 1)
    corner = outline[:, edge, index]
    return edge, corner + share * (outline[:, following, index] - corner)


def _shoelace(rings: Floats) -> Floats:
    x, y = rings
    twice = x * _next(y) - _next(x) * y
    return np.asarray(twice.sum(axis=0) / 2)

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
    """Pieces one by one: row of `met`, corners in whole ticks, area, area of holes."""

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
        begin, rings = self._between(rows, chains)
        if pairs:
            rows, rings = self._parted(rows, chains, pairs, (begin, rings))
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

    def _between(self, rows: Ints, chains: Ints) -> tuple[Floats, Floats]:
        """Clip tiles that the sides of a chain enter once and leave once.

        The piece runs from where the first side enters (a), over the corners between
        the sides, to where the last leaves (b), and back along the tile's edge.
        Shape: where the frame of each tile lies in the room, and its piece's ring.
        """
        grid, face = self.grid, self.met.face[rows]
        sides, outline, turn = self.met.moved, grid.outline[face], grid.turn[face]
        begin = self._moved(rows) + grid.start[face]
        way = grid.outline_next[face] - outline
        index = np.arange(len(rows))
        depth = _depths(sides[chains[:, 0]], begin, turn, outline)
        edge_a, a = _crossing(depth, outline, way, index, leaving=True)
        bent = np.flatnonzero(chains[:, 0] != chains[:, -1])
        if len(bent):
            last = sides[chains[bent, -1]]
            depth[bent] = _depths(last, begin[bent], turn[bent], outline[bent])
        edge_b, b = _crossing(depth, outline, way, index, leaving=False)
        most, links = depth.shape[1], chains.shape[1]
        rings = np.empty((len(rows), most + links + 1, 2))
        rings[:, :links], rings[:, links] = a[:, None, :], b
        if len(bent):
            apex = sides[chains[bent, 1:], :2] - begin[bent, None, :]
            rings[bent, 1:links] = np.einsum("nkb,nba->nka", apex, turn[bent])
        taken = (edge_a - edge_b) % most
        # In and out by one edge: the chain goes round the piece, or round the rest.
        taken[(edge_a == edge_b) & (_shoelace(rings[:, : links + 1]) < 0)] = most
        step = np.arange(most)
        which = (edge_b[:, None] + 1 + step) % most
        rings[:, links + 1 :] = np.where(
            (step < taken[:, None])[:, :, None],
            outline[index[:, None], which],
            a[:, None, :],
        )
        return begin, rings

    def _parted(
        self, rows: Ints, chains: Ints, pairs: int, cut: tuple[Floats, Floats]
    ) -> tuple[Ints, Floats]:
        """Settle tiles that two sides cross apart from each other.

        Either each side keeps its own end of the tile, and there are two pieces, or
        the strip between them is left, and the piece of one is clipped by the other.
        """
        begin, rings = cut
        first, second = len(rows) - 2 * pairs, len(rows) - pairs
        turn = self.grid.turn[self.met.face[rows[second:]]]
        other = self.met.moved[chains[second:, 0]]
        depth = _depths(other, begin[second:], turn, rings[first:second])
        strip = np.flatnonzero((depth > _TOUCH).any(axis=1))
        clipped = _clipped(rings[first:second][strip], depth[strip])
        kept = np.delete(
            np.arange(len(rows)), np.concatenate([first + strip, second + strip])
        )
        rows = np.concatenate([rows[kept], rows[first + strip]])
        return rows, np.concatenate([_wide(rings[kept], clipped.shape[1]), clipped])

    def _by_library(self, rows: Ints) -> _Cuts:
        grid, face = self.grid, self.met.face[rows]
        moved = self._moved(rows) + self.origins[self.met.copy[rows]]
        parts = parts_inside(grid.shape[face] + moved[:, None, :], self.region)
        corners = packed(parts.corners)
        face = face[parts.owner]
        begin = moved[parts.owner] + grid.start[face]
        in_tile = np.einsum(
            "nvb,nba->nva", corners - begin[:, None, :], grid.turn[face]
        )
        return self._kept(rows[parts.owner], in_tile, parts.area, parts.holes)

    def _kept(self, rows: Ints, corners: Floats, area: Floats, holes: Floats) -> _Cuts:
        big = area >= self.least_area
        if not big.all():
            rows, corners, area, holes = rows[big], corners[big], area[big], holes[big]
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
        groups, leads = alike(item, cuts.holes, cuts.corners)
        rings = tidied_rings(cuts.corners[leads])
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
        moved = np.empty((len(rows), 2))
        moved[:, 0] = basis[0, 0] * i + basis[0, 1] * j
        moved[:, 1] = basis[1, 0] * i + basis[1, 1] * j
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


def _clipped(rings: Floats, depth: Floats) -> Floats:
    """Return what of convex rings lies where depth is 0 or more.

    Shape: twice the corners; a corner that falls away repeats the one kept before it.
    """
    count, corners = depth.shape
    following = after(depth)
    inside = depth >= 0
    crosses = inside != (following >= 0)
    change = np.where(crosses, depth - following, 1)
    share = np.where(crosses, depth / change, 0)
    points = np.empty((count, 2 * corners, 2))
    points[:, ::2] = rings
    points[:, 1::2] = rings + share[:, :, None] * (after(rings) - rings)
    kept = np.empty((count, 2 * corners), dtype=bool)
    kept[:, ::2], kept[:, 1::2] = inside, crosses
    rank = np.maximum.accumulate(np.where(kept, np.arange(2 * corners), -1), axis=1)
    rank = np.where(rank < 0, rank[:, -1:], rank)
    return np.take_along_axis(points, rank[:, :, None], axis=1)


def _both(one: _Cuts, other: _Cuts) -> _Cuts:
    most = max(one.corners.shape[1], other.corners.shape[1])
    return _Cuts(
        rows=np.concatenate([one.rows, other.rows]),
        corners=np.concatenate([_wide(one.corners, most), _wide(other.corners, most)]),
        area=np.concatenate([one.area, other.area]),
        holes=np.concatenate([one.holes, other.holes]),
    )


def _depths(sides: Floats, begin: Floats, turn: Floats, outline: Floats) -> Floats:
    """Return how far each corner of a tile lies to the left of a side, in its frame."""
    along_x, along_y = sides[:, 2] - sides[:, 0], sides[:, 3] - sides[:, 1]
    long = np.hypot(along_x, along_y)
    across, up = -along_y / long, along_x / long
    level = across * (sides[:, 0] - begin[:, 0]) + up * (sides[:, 1] - begin[:, 1])
    tile_x = turn[:, 0, 0] * across + turn[:, 1, 0] * up
    tile_y = turn[:, 0, 1] * across + turn[:, 1, 1] * up
    return np.asarray(
        tile_x[:, None] * outline[:, :, 0]
        + tile_y[:, None] * outline[:, :, 1]
        - level[:, None]
    )


def _crossing(
    depth: Floats, outline: Floats, way: Floats, index: Ints, *, leaving: bool
) -> tuple[Ints, Floats]:
    """Return the edge of each tile on which a side crosses, and where.

    Going round the tile, the region is left on that edge or entered.
    """
    inside = depth >= 0
    ahead = after(depth) >= 0
    crosses = inside > ahead if leaving else inside < ahead
    edge = crosses.argmax(axis=1)
    here = depth[index, edge]
    there = depth[index, (edge + 1) % depth.shape[1]]
    change = here - there
    share = here / np.where(np.abs(change) > 1e-9, change, 1)
    point = outline[index, edge] + share[:, None] * way[index, edge]
    return edge, point


def _shoelace(rings: Floats) -> Floats:
    x, y = rings[:, :, 0], rings[:, :, 1]
    twice = x * after(y) - after(x) * y
    return np.asarray(twice.sum(axis=1) / 2)

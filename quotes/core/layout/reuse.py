"""How many tiles to buy: without reuse, with factory edges kept, and at the least.

Four figures, always in this order: area bound ≤ free ≤ strict ≤ no reuse. Pieces of
all surfaces that take the same tile are pooled.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from materials.core.quantities import whole_units
from quotes.core.geometry import TickRing, doubled_area, nearest_tick
from quotes.core.layout.certificate import TileSet, certified
from quotes.core.layout.filling import largest_first
from quotes.core.layout.fit import Fit
from quotes.core.layout.free import Rectangle, free_tiles
from quotes.core.layout.records import Rules, Tally
from quotes.core.layout.sliding import SlidingFit, slid
from quotes.core.pattern import Item

_MOST_CLASSES = 300
"""A proof over more kinds of pieces takes longer than anybody waits."""

_Place = tuple[int, int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class CutPiece:
    """One piece in a tile: where it goes, its outline there, and the tile's turn.

    `surface`, `piece` and `rank` say which it is: the surface's place among the
    tallies, the class among that tally's pieces, and the row among its places.
    """

    surface: int
    piece: int
    rank: int
    outline: TickRing
    turn: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CutTile:
    """One bought tile and the pieces cut from it."""

    item: str
    pieces: tuple[CutPiece, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemPlan:
    """The figures of one item over all surfaces."""

    item: Item
    full: int
    cut: int
    area_bound: int
    free: int | None
    strict: int
    lower_bound: int
    tiles: tuple[CutTile, ...]

    @property
    def no_reuse(self) -> int:
        """Tiles when every cut position takes a new one."""
        return self.full + self.cut

    @property
    def is_proven(self) -> bool:
        """Whether nobody can do with fewer under the factory-edge rule."""
        return self.strict == self.lower_bound


@dataclass(frozen=True, slots=True, kw_only=True)
class CutPlan:
    """What is to be cut from what, item by item."""

    items: tuple[ItemPlan, ...]

    @property
    def full(self) -> int:
        """Whole tiles of all items."""
        return sum(item.full for item in self.items)

    @property
    def cut(self) -> int:
        """Cut positions of all items."""
        return sum(item.cut for item in self.items)

    @property
    def area_bound(self) -> int:
        """Tiles by area alone, of all items."""
        return sum(item.area_bound for item in self.items)

    @property
    def free(self) -> int | None:
        """Tiles when pieces may lie anywhere; None if some item is not oblong."""
        counts = [item.free for item in self.items if item.free is not None]
        return sum(counts) if len(counts) == len(self.items) else None

    @property
    def strict(self) -> int:
        """Tiles when cut pieces keep their factory edges, of all items."""
        return sum(item.strict for item in self.items)

    @property
    def no_reuse(self) -> int:
        """Tiles when nothing is reused, of all items."""
        return self.full + self.cut

    @property
    def lower_bound(self) -> int:
        """What strict cannot go below, of all items."""
        return sum(item.lower_bound for item in self.items)

    @property
    def is_proven(self) -> bool:
        """Whether strict is proven the least."""
        return self.strict == self.lower_bound

    @property
    def tiles(self) -> tuple[CutTile, ...]:
        """Every tile that yields pieces."""
        return tuple(tile for item in self.items for tile in item.tiles)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Lot:
    """Pieces of one item, those of one outline together, and the surfaces they are in.

    `area` is that of all pieces, less the holes in them, in square ticks.
    """

    item: Item
    outlines: tuple[TickRing, ...]
    area: int
    places: tuple[tuple[_Place, ...], ...]

    @property
    def counts(self) -> tuple[int, ...]:
        return tuple(len(places) for places in self.places)


def cut_plan(
    tallies: Sequence[Tally], rules: Rules, *, certify: bool = True
) -> CutPlan:
    """Return the tiles to buy for surfaces that share one tile and lot.

    `certify=False` leaves out the search for a proof: quick, for comparing set-outs;
    `lower_bound` is then the area bound.

    Raises: nothing; every tally must come from the same lattice.
    Method: largest piece first, filled with the largest that fits; then column
    generation proves a bound and, where the two differ, improves the plan.
    """
    items = tallies[0].lattice.items
    return CutPlan(
        items=tuple(
            _item_plan(tallies, rank, item, rules, certify=certify)
            for rank, item in enumerate(items)
        )
    )


def tiles_needed(tallies: Sequence[Tally], rules: Rules) -> int:
    """Return the strict figure of a plan without its proof and its cutting list.

    For comparing set-outs: the same number that `cut_plan` gives uncertified.
    """
    total = 0
    for rank, item in enumerate(tallies[0].lattice.items):
        total += sum(tally.full[rank] for tally in tallies)
        counts: dict[TickRing, int] = {}
        for tally in tallies:
            for piece in tally.pieces:
                if piece.item == rank:
                    counts[piece.outline] = counts.get(piece.outline, 0) + piece.count
        if counts:
            order = _larger_first(counts)
            chosen = largest_first(
                _fit(item, order, rules), [counts[ring] for ring in order]
            )
            cut = sum(tally.cut[rank] for tally in tallies)
            total += min(cut, sum(times for _, times in chosen))
    return total


def plan_without_reuse(tallies: Sequence[Tally]) -> CutPlan:
    """Return the tiles to buy when every cut position takes a tile of its own.

    So slabs are bought, piece by piece, and chips of a mosaic are cut. `strict` is
    then the figure without reuse, and `lower_bound` with it.
    """
    plans = []
    for rank, item in enumerate(tallies[0].lattice.items):
        full = sum(tally.full[rank] for tally in tallies)
        tiles = tuple(_as_laid(tallies, rank, item))
        lot = _pooled(tallies, rank, item)
        taken = full + len(tiles)
        plans.append(
            ItemPlan(
                item=item, full=full, cut=len(tiles),
                area_bound=full + whole_units(Fraction(lot.area), item.area),
                free=None, strict=taken, lower_bound=taken, tiles=tiles,
            )
        )  # fmt: skip
    return CutPlan(items=tuple(plans))


def _item_plan(
    tallies: Sequence[Tally], rank: int, item: Item, rules: Rules, *, certify: bool
) -> ItemPlan:
    full = sum(tally.full[rank] for tally in tallies)
    cut = sum(tally.cut[rank] for tally in tallies)
    lot = _pooled(tallies, rank, item)
    if not lot.outlines:
        return ItemPlan(
            item=item, full=full, cut=cut, area_bound=full,
            free=full if item.is_oblong else None, strict=full, lower_bound=full,
            tiles=(),
        )  # fmt: skip
    by_area = whole_units(Fraction(lot.area), item.area)
    chosen, bound, fit = _strict(lot, rules, by_area, certify=certify)
    tiles = tuple(_tiles(lot, chosen, fit))
    if len(tiles) > cut:
        # Pieces of one tile nearer than a kerf still come from that one tile.
        tiles = tuple(_as_laid(tallies, rank, item))
    bound = min(max(bound, by_area), len(tiles))
    free = None
    if item.is_oblong:
        free = full + _free(lot, rules, strict=len(tiles), least=by_area)
    return ItemPlan(
        item=item,
        full=full,
        cut=cut,
        area_bound=full + by_area,
        free=free,
        strict=full + len(tiles),
        lower_bound=full + bound,
        tiles=tiles,
    )


def _pooled(tallies: Sequence[Tally], rank: int, item: Item) -> _Lot:
    rows: dict[TickRing, list[_Place]] = {}
    area = 0
    for surface, tally in enumerate(tallies):
        for index, piece in enumerate(tally.pieces):
            if piece.item == rank:
                area += piece.area * piece.count
                entry = rows.setdefault(piece.outline, [])
                entry.extend((surface, index, row) for row in range(piece.count))
    order = _larger_first(rows)
    return _Lot(
        item=item,
        outlines=order,
        area=area,
        places=tuple(tuple(rows[ring]) for ring in order),
    )


def _larger_first(rings: Iterable[TickRing]) -> tuple[TickRing, ...]:
    return tuple(sorted(rings, key=lambda ring: (-doubled_area(ring), ring)))


def _strict(
    lot: _Lot, rules: Rules, by_area: int, *, certify: bool
) -> tuple[list[tuple[TileSet, int]], int, Fit]:
    fit = _fit(lot.item, lot.outlines, rules)
    chosen = largest_first(fit, lot.counts)
    taken = sum(times for _, times in chosen)
    if not certify or taken == by_area:
        return chosen, by_area, fit
    if len(lot.outlines) > _MOST_CLASSES or isinstance(fit, SlidingFit):
        # Sliding pieces have more places than were tried: no proof beyond the area.
        return chosen, by_area, fit
    certificate, better = certified(
        fit, lot.counts, [pieces for pieces, _ in chosen], goal=taken
    )
    bound = max(by_area, certificate.bound)
    return (_trimmed(better, lot.counts) if better else chosen), bound, fit


def _fit(item: Item, outlines: tuple[TickRing, ...], rules: Rules) -> Fit:
    turns = (0,) if rules.directional else item.turns
    fit = Fit(item, outlines, kerf=rules.kerf, turns=turns)
    return slid(fit, outlines) if rules.slide else fit


def _trimmed(
    chosen: Sequence[tuple[TileSet, int]], counts: Sequence[int]
) -> list[tuple[TileSet, int]]:
    """Return sets that cover each class exactly: pieces cut twice are left out."""
    left = list(counts)
    kept: list[tuple[TileSet, int]] = []
    for tile, times in chosen:
        for _ in range(times):
            pieces = []
            for piece, turn in tile:
                if left[piece]:
                    left[piece] -= 1
                    pieces.append((piece, turn))
            if pieces:
                kept.append((tuple(pieces), 1))
    return kept


def _tiles(
    lot: _Lot, chosen: Sequence[tuple[TileSet, int]], fit: Fit
) -> Iterator[CutTile]:
    places = [list(reversed(places)) for places in lot.places]
    for tile, times in chosen:
        outlines = [
            fit.outline_of(piece, turn, lot.outlines[piece]) for piece, turn in tile
        ]
        for _ in range(times):
            pieces = []
            for (piece, turn), outline in zip(tile, outlines, strict=True):
                surface, index, row = places[piece].pop()
                pieces.append(
                    CutPiece(
                        surface=surface,
                        piece=index,
                        rank=row,
                        outline=outline,
                        turn=fit.degrees(turn, piece),
                    )
                )
            yield CutTile(item=lot.item.name, pieces=tuple(pieces))


def _as_laid(tallies: Sequence[Tally], rank: int, item: Item) -> Iterator[CutTile]:
    for surface, tally in enumerate(tallies):
        by_place: dict[tuple[int, ...], list[CutPiece]] = {}
        for index, piece in enumerate(tally.pieces):
            if piece.item != rank:
                continue
            for row, place in enumerate(piece.places.tolist()):
                laid = CutPiece(
                    surface=surface,
                    piece=index,
                    rank=row,
                    outline=piece.outline,
                    turn=0,
                )
                by_place.setdefault(tuple(place), []).append(laid)
        for _, pieces in sorted(by_place.items(), key=lambda pair: pair[0]):
            yield CutTile(item=item.name, pieces=tuple(pieces))


def _free(lot: _Lot, rules: Rules, *, strict: int, least: int) -> int:
    if strict == least:
        return strict
    pieces = []
    for outline, count in zip(lot.outlines, lot.counts, strict=True):
        across = [x for x, _ in outline]
        up = [y for _, y in outline]
        pieces.append(Rectangle(max(across) - min(across), max(up) - min(up), count))
    across = [nearest_tick(x) for x, _ in lot.item.outline]
    up = [nearest_tick(y) for _, y in lot.item.outline]
    found = free_tiles(
        pieces,
        length=max(across),
        width=max(up),
        kerf=rules.kerf,
        turning=not rules.directional,
    )
    return max(least, min(strict, found))

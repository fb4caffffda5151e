"""The set-out drawings of a layout: tiles, cuts, chalk lines and what to measure.

Whole tiles are plain, cut ones hatched, pieces from an offcut crossed; pieces of one
tile carry the same number; sawn sides are double, slivers ringed. Chalk lines run
through the origin, dimensioned from two sides of the surface.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import pairwise

import numpy as np

from materials.core.drawing.pen import CUT, REUSED
from materials.core.drawing.records import Frame, Hole, SurfaceDrawing
from materials.core.drawing.setout import (
    Piece,
    SetOutDrawing,
    Size,
    draw_set_out,
    pieces_sentence,
)
from materials.core.drawing.style import PRINT
from materials.core.lengths import IMPERIAL, METRIC, Length
from quotes.core.geometry import Ints, Point, TickPoint, TickRing, doubled_area
from quotes.core.layout.grid import Grid, grid_of
from quotes.core.layout.placing import full_places, placed_faces, placed_rings
from quotes.core.layout.records import PieceClass, Tally
from quotes.core.layout.reuse import CutPlan
from quotes.core.pattern import Item

SLIVER = Length.mm(50)
"""Narrower pieces are ringed: from memory, shop practice, no standard's figure."""

MOST_DRAWN = 4_000
"""Beyond so many whole tiles only the cut ones are drawn; the note says so."""


def set_out_drawings(
    tallies: Sequence[Tally], plan: CutPlan
) -> tuple[SetOutDrawing, ...]:
    """Return one drawing a surface, pieces of one tile under one number.

    Shape: in the order of the tallies. Rounds: corners to the nearest tick.
    """
    numbers = tile_numbers(plan)
    return tuple(_drawing(tally, rank, numbers) for rank, tally in enumerate(tallies))


def drawing(tallies: Sequence[Tally], plan: CutPlan, *, unit: str) -> str:
    """Return all surfaces as one SVG text, one below the other."""
    # A file has no page to style it, so it carries the print style inside.
    system = IMPERIAL if unit == "in" else METRIC
    frame = Frame(style=PRINT, system=system, width=760, height=700)
    drawn = [draw_set_out(each, frame) for each in set_out_drawings(tallies, plan)]
    return drawn[0] if len(drawn) == 1 else _stacked(drawn)


def _stacked(drawn: Sequence[str]) -> str:
    """Return drawings one below the other, each in its own nested frame."""
    down = 0
    widest = 0
    parts = []
    for text in drawn:
        width, height = (int(side) for side in _size_of(text))
        parts.append(text.replace("<svg ", f'<svg y="{down}" ', 1))
        down += height + 24
        widest = max(widest, width)
    inner = "".join(parts)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {widest} {down}" '
        f'width="{widest}" height="{down}">{inner}</svg>'
    )


def _size_of(text: str) -> tuple[str, str]:
    found = re.search(r'viewBox="0 0 ([0-9]+)[0-9.]* ([0-9]+)', text)
    return (found[1], found[2]) if found else ("0", "0")


PlacedPiece = tuple[int, int, int]
"""Surface, class and row of a piece."""


def tile_numbers(plan: CutPlan) -> dict[PlacedPiece, tuple[str, int | None]]:
    """Return kind and number of every piece; a tile with one piece needs no number."""
    found: dict[PlacedPiece, tuple[str, int | None]] = {}
    number = 0
    for tile in plan.tiles:
        shared = len(tile.pieces) > 1
        number += shared
        for rank, piece in enumerate(tile.pieces):
            kind = REUSED if rank else CUT
            place = (piece.surface, piece.piece, piece.rank)
            found[place] = (kind, number if shared else None)
    return found


def _drawing(
    tally: Tally, rank: int, numbers: Mapping[PlacedPiece, tuple[str, int | None]]
) -> SetOutDrawing:
    grid = grid_of(tally.lattice, tally.set_out.angle)
    pieces = [*_whole_pieces(tally, grid), *_cut_pieces(tally, grid, rank, numbers)]
    surface = tally.surface
    outline = surface.outer if doubled_area(surface.outer) > 0 else surface.outer[::-1]
    edges = surface.edges
    if edges and outline is not surface.outer:
        edges = (*edges[-2::-1], edges[-1])
    sentence = f"{surface.name or 'Surface'}: {pieces_sentence(tuple(pieces))}."
    hidden = tally.full_count > MOST_DRAWN
    return SetOutDrawing(
        surface=SurfaceDrawing(
            name=f"surface-{rank + 1}",
            sentence=sentence,
            outline=outline,
            edges=edges,
            holes=tuple(Hole(outline=hole) for hole in surface.holes),
            note=f"{tally.full_count} whole tiles are not drawn." if hidden else "",
        ),
        pieces=tuple(pieces),
        chalk=_chalk(tally, outline),
        sizes=_sizes(tally, outline),
    )


def _whole_pieces(tally: Tally, grid: Grid) -> list[Piece]:
    if tally.full_count > MOST_DRAWN:
        return []
    places = full_places(tally, grid)
    rings = placed_faces(tally, grid, places)
    return [Piece(outline=ring) for ring in rings]


def _cut_pieces(
    tally: Tally,
    grid: Grid,
    surface: int,
    numbers: Mapping[PlacedPiece, tuple[str, int | None]],
) -> list[Piece]:
    drawn = []
    for index, piece in enumerate(tally.pieces):
        sawn = sawn_sides(tally.lattice.items[piece.item], piece.outline)
        sliver = is_sliver(piece, tally.lattice.items[piece.item])
        for row, ring in enumerate(placed_rings(tally, grid, piece)):
            kind, number = numbers[surface, index, row]
            drawn.append(
                Piece(outline=ring, kind=kind, number=number, sawn=sawn, sliver=sliver)
            )
    return drawn


def is_sliver(piece: PieceClass, item: Item) -> bool:
    """Return whether a piece is narrower than SLIVER, and than half its tile."""
    across = [x for x, _ in item.outline]
    up = [y for _, y in item.outline]
    least = min(max(across) - min(across), max(up) - min(up)) / 2
    return piece.smallest_side < min(Fraction(SLIVER.ticks), Fraction(least))


def sawn_sides(item: Item, outline: TickRing) -> tuple[int, ...]:
    """Return which sides of a piece, in its tile's frame, are no side of the tile.

    Shape: sides counted from nought, as the outline runs. Rounds: within two ticks.
    """
    around = list(pairwise((*item.outline, item.outline[0])))
    return tuple(
        side
        for side, (start, end) in enumerate(pairwise((*outline, outline[0])))
        if not any(
            _on_line(first, last, start) and _on_line(first, last, end)
            for first, last in around
        )
    )


def _on_line(first: Point, last: Point, at: TickPoint) -> bool:
    """Return whether a point lies on the line of a side, two ticks allowed."""
    wide, high = last[0] - first[0], last[1] - first[1]
    off = wide * (at[1] - first[1]) - high * (at[0] - first[0])
    return bool(abs(off) <= 2 * max(abs(wide), abs(high)))


def _chalk(tally: Tally, outline: TickRing) -> tuple[tuple[TickPoint, TickPoint], ...]:
    """Return the two lines through the origin, along the pattern's axes."""
    left, bottom, right, top = _bounds(outline)
    x, y = _origin_within(tally, outline)
    if tally.set_out.angle % 90 == 0:
        return ((x, bottom), (x, top)), ((left, y), (right, y))
    grid = grid_of(tally.lattice, tally.set_out.angle)
    reach = max(right - left, top - bottom)
    ways = (grid.turn[0] @ np.eye(2) * reach).T
    lines = []
    for way in ways:
        step = np.array([x, y])
        ends = _clipped(step - way, step + way, (left, bottom, right, top))
        if ends is not None:
            lines.append(ends)
    return tuple(lines)


def _clipped(
    start: np.ndarray, end: np.ndarray, bounds: tuple[int, int, int, int]
) -> tuple[TickPoint, TickPoint] | None:
    """Return the part of a line inside a rectangle."""
    low, high = np.array(bounds[:2]), np.array(bounds[2:])
    way = end - start
    safe = np.where(np.abs(way) < 1, 1, way)
    ends = np.sort(np.stack([(low - start) / safe, (high - start) / safe]), axis=0)
    first, last = ends[0].max(), ends[1].min()
    if first >= last:
        return None
    one, two = start + first * way, start + last * way
    return (int(one[0]), int(one[1])), (int(two[0]), int(two[1]))


def _origin_within(tally: Tally, outline: TickRing) -> TickPoint:
    """Return an origin of the same layout that lies within the surface's box.

    The pattern repeats, so the origin nearest the middle serves as well.
    """
    grid = grid_of(tally.lattice, tally.set_out.angle)
    left, bottom, right, top = _bounds(outline)
    middle = np.array([(left + right) // 2, (bottom + top) // 2])
    origin = np.array(tally.set_out.origin)
    steps: Ints = np.rint(grid.inverse @ (middle - origin)).astype(np.int64)
    x, y = np.rint(origin + grid.basis @ steps).astype(np.int64).tolist()
    if left < x < right and bottom < y < top:
        return x, y
    return tally.set_out.origin


def _sizes(tally: Tally, outline: TickRing) -> tuple[Size, ...]:
    """Return how far the chalk lines stand from the left side and the floor."""
    left, bottom, right, top = _bounds(outline)
    x, y = _origin_within(tally, outline)
    if not (left < x < right and bottom < y < top):
        return ()
    return (
        Size(
            start=(left, bottom),
            end=(x, bottom),
            side="bottom",
            length=Length(x - left),
        ),
        Size(
            start=(left, bottom), end=(left, y), side="left", length=Length(y - bottom)
        ),
    )


def _bounds(outline: TickRing) -> tuple[int, int, int, int]:
    across = [x for x, _ in outline]
    up = [y for _, y in outline]
    return min(across), min(up), max(across), max(up)

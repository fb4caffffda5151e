"""Tile pieces on a surface: whole ones plain, cut ones hatched, chalk lines blue.

Pieces of one tile carry the same small number on a disc of paper, so that an offcut can
be followed to where it goes. A sawn edge is a double line; a sliver has a ring.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from materials.core.drawing.chains import Measure, dimension_rows, draw_rows, fit
from materials.core.drawing.dimensions import SIDES
from materials.core.drawing.lettering import (
    RAISED,
    SVG,
    length_words,
    width_of,
    words,
)
from materials.core.drawing.pen import (
    CUT,
    HATCHES,
    REUSED,
    WHOLE,
    Point,
    Ring,
    Sheet,
    along,
    direction,
    tenth,
)
from materials.core.drawing.records import Frame, Place, SurfaceDrawing
from materials.core.drawing.surface import draw_edges, require_outline
from materials.core.drawing.symbols import (
    Scale,
    draw_chalk_line,
    draw_crossed,
    draw_scale_bar,
)
from materials.core.errors import BadShape
from materials.core.lengths import Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One piece as it lies: its outline, what it is, the number of its tile."""

    outline: tuple[Place, ...]
    kind: str = WHOLE
    number: int | None = None
    holes: tuple[tuple[Place, ...], ...] = ()
    sawn: tuple[int, ...] = ()
    """The sides of the outline that are sawn, counted from nought."""
    sliver: bool = False
    """Whether it is too narrow to be cut and to look well: it gets a ring."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """A size to set out by: from one place to another, lettered on one side."""

    start: Place
    end: Place
    side: str
    length: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class SetOutDrawing:
    """A surface with its pieces, chalk lines and the sizes that place them."""

    surface: SurfaceDrawing
    pieces: tuple[Piece, ...]
    chalk: tuple[tuple[Place, Place], ...] = ()
    sizes: tuple[Size, ...] = ()
    sheets: tuple[tuple[Place, ...], ...] = ()
    """Lines along which the sheets of a mosaic meet."""


def draw_set_out(set_out: SetOutDrawing, frame: Frame) -> str:
    """Return a surface with its tile pieces drawn to scale, as SVG text.

    Rounds: lettered lengths to 1/16 in or 0.1 mm; points to 1/100 px, pieces and
    hatches to 1/10 px.
    Raises: BadShape for an outline without area or a piece of an unknown kind.
    """
    surface = set_out.surface
    require_outline(surface.outline)
    for piece in set_out.pieces:
        if piece.kind != WHOLE and piece.kind not in HATCHES:
            raise BadShape(f"A piece cannot be “{piece.kind}”; it is cut or reused.")
    rows = dimension_rows(surface, frame)
    for side in SIDES:
        sizes = [_measure(size, frame) for size in set_out.sizes if size.side == side]
        rows[side][:0] = [[size] for size in sizes]
    laid = fit(surface.outline, rows, frame)
    lower = _lower(surface.note, laid.size[0], frame)
    sheet = Sheet(
        name=surface.name,
        size=(laid.size[0], laid.size[1] + lower),
        sentence=surface.sentence,
        style=frame.style,
    )
    sheet.polygon(laid.scale.ring(surface.outline), "of")
    _draw_pieces(sheet, laid.scale, set_out.pieces)
    # Heavier than the joints between chips, lighter than the outline.
    sheet.path([laid.scale.ring(line) for line in set_out.sheets], "e")
    for hole in surface.holes:
        draw_crossed(sheet, laid.scale.ring(hole.outline))
    draw_edges(sheet, laid.scale.ring(surface.outline), surface.edges)
    for start, end in set_out.chalk:
        draw_chalk_line(sheet, laid.scale.at(*start), laid.scale.at(*end))
    draw_rows(sheet, laid, surface.outline, rows)
    foot = laid.size[0] - 14_00, laid.size[1] - 14_00
    draw_scale_bar(sheet, laid.scale, foot, frame.system)
    if surface.note:
        at = 14_00, laid.size[1] - 12_00 + lower
        sheet.text(at, words(surface.note), anchor="start")
    return sheet.svg()


BAR_ROOM = 140_00
"""What the scale bar takes of the foot of a drawing, its word and some air with it."""


def _lower(note: str, wide: int, frame: Frame) -> int:
    """Return how far below the scale bar a note stands that has no room beside it."""
    needed = 14_00 + width_of(words(note), frame.style.letter) + BAR_ROOM
    return 2 * frame.style.letter if note and needed > wide else 0


def pieces_sentence(pieces: tuple[Piece, ...]) -> str:
    """Return how many pieces of each kind are drawn, for those who cannot see them."""
    counts = Counter(piece.kind for piece in pieces)
    return (
        f"{counts[WHOLE]} whole tiles, {counts[CUT]} cut, "
        f"{counts[REUSED]} cut from an offcut"
    )


def _measure(size: Size, frame: Frame) -> Measure:
    setting = RAISED if frame.style.printed else SVG
    lettered = length_words(
        size.length, system=frame.system, setting=setting, unit=False
    )
    return Measure(start=size.start, end=size.end, lettered=lettered)


def _draw_pieces(sheet: Sheet, scale: Scale, pieces: tuple[Piece, ...]) -> None:
    rings = [
        (piece, [_tenths(scale.ring(ring)) for ring in (piece.outline, *piece.holes)])
        for piece in pieces
    ]
    for kind in HATCHES:
        same = [ring for piece, own in rings if piece.kind == kind for ring in own]
        if same:
            sheet.hatch(kind, same)
    sheet.rings([ring for _, own in rings for ring in own], "f")
    sheet.steps(
        [_tenths(edge) for piece, own in rings for edge in _sawn(piece, own[0])], "f"
    )
    for piece, own in rings:
        if piece.sliver:
            _draw_ring(sheet, own[0])
        if piece.number is not None:
            _draw_number(sheet, own[0], piece.number)


def _tenths(ring: Ring) -> Ring:
    """Return a piece's corners on tenths of a pixel: a thousand pieces stay light."""
    return tuple((tenth(x), tenth(y)) for x, y in ring)


def _sawn(piece: Piece, ring: Ring) -> list[Ring]:
    """Return a second line inside each sawn side, as far as the piece has room."""
    edges = []
    for side in piece.sawn:
        start, end = ring[side], ring[(side + 1) % len(ring)]
        way = direction(start, end)
        # The outline runs anticlockwise on the surface: its inside is on the left.
        inner = way[1], -way[0]
        edges.append(
            tuple(
                along(along(at, inner, 1_80), way, to)
                for at, to in ((start, 1_00), (end, -1_00))
            )
        )
    return edges


def _draw_ring(sheet: Sheet, ring: Ring) -> None:
    """Ring a sliver where it lies."""
    middle_x = (min(x for x, _ in ring) + max(x for x, _ in ring)) // 2
    middle_y = (min(y for _, y in ring) + max(y for _, y in ring)) // 2
    sheet.circle((middle_x, middle_y), sheet.style.disc * 6 // 5, "e")


def _draw_number(sheet: Sheet, ring: Ring, number: int) -> None:
    """Letter a number where a piece has room for it; leave small pieces bare."""
    left, right = min(x for x, _ in ring), max(x for x, _ in ring)
    top, foot = min(y for _, y in ring), max(y for _, y in ring)
    disc = sheet.style.disc
    if right - left < disc * 3 // 2 or foot - top < disc * 3 // 2:
        return
    at = _place_for_number(ring)
    sheet.circle(at, disc, "disc")
    sheet.text((at[0], at[1] + disc * 46 // 100), str(number), "num")


def _place_for_number(ring: Ring) -> Point:
    """Return the middle of the widest level stretch inside a piece.

    Method: five levels through the piece; its widest crossing wins, so that the
    number of an L-shaped cut stands in the piece and not in its notch.
    """
    top, foot = min(y for _, y in ring), max(y for _, y in ring)
    best: tuple[int, Point] | None = None
    for step in (3, 2, 4, 1, 5):
        level = top + (foot - top) * step // 6
        cuts = sorted(_level_cuts(ring, level))
        for first, second in zip(cuts[::2], cuts[1::2], strict=False):
            if best is None or second - first > best[0]:
                best = second - first, ((first + second) // 2, level)
    return best[1] if best is not None else ring[0]


def _level_cuts(ring: Ring, level: int) -> list[int]:
    cuts = []
    for index, (x, y) in enumerate(ring):
        before_x, before_y = ring[index - 1]
        if (before_y < level) != (y < level):
            cuts.append(
                before_x + (x - before_x) * (level - before_y) // (y - before_y)
            )
    return cuts

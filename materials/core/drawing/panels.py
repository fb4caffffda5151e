"""A surface with the numbered pieces that cover it: boards, strips, their folds.

The numbers are those of the cut list, so that a piece cut on the trestles is found on
the wall. Folds are scored on the back and drawn dash and dot.
"""

from __future__ import annotations

from dataclasses import dataclass

from materials.core.drawing.chains import dimension_rows, draw_rows, fit
from materials.core.drawing.lettering import width_of, words
from materials.core.drawing.pen import Ring, Sheet
from materials.core.drawing.records import Frame, Place, SurfaceDrawing
from materials.core.drawing.surface import require_outline
from materials.core.drawing.symbols import (
    draw_crossed,
    draw_leader,
    draw_scale_bar,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberedPiece:
    """A piece as it lies on the surface, with its number."""

    outline: tuple[Place, ...]
    number: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelDrawing:
    """A surface, the pieces that cover it, and the lines they are folded along."""

    surface: SurfaceDrawing
    pieces: tuple[NumberedPiece, ...]
    folds: tuple[tuple[Place, Place], ...] = ()


def draw_panels(panels: PanelDrawing, frame: Frame) -> str:
    """Return a surface with its numbered pieces drawn to scale, as SVG text.

    Raises: BadShape for an outline without area.
    """
    surface = panels.surface
    require_outline(surface.outline)
    rows = dimension_rows(surface, frame)
    laid = fit(surface.outline, rows, frame)
    sheet = Sheet(
        name=surface.name,
        size=laid.size,
        sentence=surface.sentence,
        style=frame.style,
    )
    outline = laid.scale.ring(surface.outline)
    sheet.polygon(outline, "of")
    for piece in panels.pieces:
        sheet.polygon(laid.scale.ring(piece.outline), "ef")
    holes = [laid.scale.ring(hole.outline) for hole in surface.holes]
    for hole in holes:
        draw_crossed(sheet, hole)
    for start, end in panels.folds:
        sheet.line(laid.scale.at(*start), laid.scale.at(*end), "fold")
    sheet.polygon(outline, "o")
    for piece in panels.pieces:
        numbered = piece.number, laid.scale.ring(piece.outline)
        _draw_number(sheet, outline, numbered, holes)
    draw_rows(sheet, laid, surface.outline, rows)
    foot = laid.size[0] - 14_00, laid.size[1] - 14_00
    draw_scale_bar(sheet, laid.scale, foot, frame.system)
    return sheet.svg()


def _draw_number(
    sheet: Sheet, outline: Ring, piece: tuple[int, Ring], holes: list[Ring]
) -> None:
    """Letter a number on a disc clear of openings; a small piece gets a leader."""
    number, ring = piece
    wide, high, at = _box(ring)
    disc = sheet.style.disc
    places = [(at[0], at[1] + high * step // 8) for step in (0, 2, -2, 3, -3)]
    at = next((one for one in places if _is_clear(one, holes, 2 * disc)), at)
    lettered = words(str(number))
    room = max(disc * 2, width_of(lettered, sheet.style.letter) + 4_00)
    if wide >= room and high >= disc * 2:
        sheet.circle(at, disc, "disc")
        sheet.text((at[0], at[1] + disc * 46 // 100), lettered, "num")
        return
    middle_x = (min(x for x, _ in outline) + max(x for x, _ in outline)) // 2
    # Towards the middle of the surface, away from the chains of dimensions.
    far = -4 * disc if at[0] > middle_x else 2 * disc
    draw_leader(sheet, at, (at[0] + far, at[1] - 2 * disc), lettered)


def _box(ring: Ring) -> tuple[int, int, tuple[int, int]]:
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    middle = (min(xs) + max(xs)) // 2, (min(ys) + max(ys)) // 2
    return max(xs) - min(xs), max(ys) - min(ys), middle


def _is_clear(at: tuple[int, int], holes: list[Ring], room: int) -> bool:
    """Return whether a place stays so far from the rectangles round all holes."""
    for hole in holes:
        wide, high, middle = _box(hole)
        if (
            abs(at[0] - middle[0]) < wide // 2 + room
            and abs(at[1] - middle[1]) < high // 2 + room
        ):
            return False
    return True

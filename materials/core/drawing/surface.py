"""A measured surface, to scale and dimensioned, as it is drawn on site and on paper.

The outline is drawn from its points; the figures are the lengths that were measured
where they are given, else those of the outline. Sizes of openings stand nearest the
object, sides outside them, an overall length outermost. The phone draws the same
geometry while it is typed (static/js/drawing.js); shared vectors hold the two together.
"""

from __future__ import annotations

from materials.core.drawing.chains import dimension_rows, draw_rows, fit
from materials.core.drawing.lettering import words
from materials.core.drawing.pen import Ring, Sheet, along, direction, middle
from materials.core.drawing.records import (
    EXPOSED,
    FOLD,
    THRESHOLD,
    WALL,
    Frame,
    Place,
    SurfaceDrawing,
)
from materials.core.drawing.symbols import (
    Scale,
    draw_crossed,
    draw_key_plan,
    draw_scale_bar,
)
from materials.core.errors import BadShape
from materials.core.lengths import INCH, METRIC, MM


def draw_surface(surface: SurfaceDrawing, frame: Frame) -> str:
    """Return a surface drawn to scale with its sizes, as SVG text.

    Rounds: lettered lengths to 1/16 in or 0.1 mm; points to 1/100 px.
    Raises: BadShape for fewer than three corners or an outline without area.
    """
    require_outline(surface.outline)
    rows = dimension_rows(surface, frame)
    laid = fit(surface.outline, rows, frame, corner=surface.plan is not None)
    scale, size = laid.scale, laid.size
    sheet = Sheet(
        name=surface.name, size=size, sentence=surface.sentence, style=frame.style
    )
    if surface.squared:
        draw_squares(sheet, scale, frame.system)
    ring = scale.ring(surface.outline)
    sheet.polygon(ring, "of")
    for diagonal in surface.diagonals:
        sheet.line(ring[diagonal.start], ring[diagonal.end], "hid")
    for hole in surface.holes:
        draw_crossed(sheet, scale.ring(hole.outline))
    draw_edges(sheet, ring, surface.edges)
    _letter(sheet, ring, surface)
    draw_rows(sheet, laid, surface.outline, rows)
    draw_scale_bar(sheet, scale, (size[0] - 14_00, size[1] - 14_00), frame.system)
    if surface.note:
        at = 14_00, size[1] - 12_00
        sheet.text(at, words(surface.note), anchor="start")
    if surface.plan is not None:
        draw_key_plan(sheet, surface.plan, (size[0] - 66_00, 26_00), 46_00)
    return sheet.svg()


def require_outline(outline: tuple[Place, ...]) -> None:
    """Refuse an outline that cannot be drawn.

    Raises: BadShape for fewer than three corners, no area, or clockwise order.
    """
    if len(outline) < 3 or signed_area_doubled(outline) <= 0:
        raise BadShape(
            "A drawing needs an outline of three corners or more, anticlockwise."
        )


def signed_area_doubled(outline: tuple[Place, ...]) -> int:
    """Return twice the area, positive when the outline runs anticlockwise."""
    return sum(
        x * outline[(index + 1) % len(outline)][1]
        - outline[(index + 1) % len(outline)][0] * y
        for index, (x, y) in enumerate(outline)
    )


def draw_edges(sheet: Sheet, ring: Ring, kinds: tuple[str, ...]) -> None:
    """Draw each side by its kind: wall, dotted where it shows, double, folded."""
    for index, start in enumerate(ring):
        end = ring[(index + 1) % len(ring)]
        kind = kinds[index] if index < len(kinds) else WALL
        if kind == FOLD:
            sheet.line(start, end, "fold")
            continue
        sheet.line(start, end, "o")
        if kind == EXPOSED:
            sheet.line(start, end, "exp")
        if kind == THRESHOLD:
            way = direction(start, end)
            inner = way[1], -way[0]
            sheet.line(along(start, inner, 4_00), along(end, inner, 4_00), "e")


def _letter(sheet: Sheet, ring: Ring, surface: SurfaceDrawing) -> None:
    for index, letter in enumerate(surface.letters):
        if letter and index < len(ring):
            start, end = ring[index], ring[(index + 1) % len(ring)]
            way = direction(start, end)
            at = along(middle(start, end), (way[1], -way[0]), 12_00)
            sheet.text((at[0], at[1] + 4_00), words(letter), "t2")
    for diagonal in surface.diagonals:
        if diagonal.letter:
            start, end = ring[diagonal.start], ring[diagonal.end]
            at = middle(middle(start, end), end)
            sheet.text((at[0] - 8_00, at[1]), words(diagonal.letter), "key")


def draw_squares(sheet: Sheet, scale: Scale, system: str) -> None:
    """Draw squared paper under a drawing: squares of 6 in or 200 mm."""
    side = max(scale.px(200 * MM if system == METRIC else 6 * INCH), 1)
    while side < 12_00:
        side *= 2
    runs: list[Ring] = []
    x = scale.origin[0] % side
    while x < sheet.size[0]:
        runs.append(((x, 0), (x, sheet.size[1])))
        x += side
    y = scale.origin[1] % side
    while y < sheet.size[1]:
        runs.append(((0, y), (sheet.size[0], y)))
        y += side
    sheet.path(runs, "grid")

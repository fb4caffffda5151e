"""The drawings of a cut plan: stock with its cuts in order, surfaces numbered."""

from __future__ import annotations

from dataclasses import replace

from django.utils.translation import gettext as _

from materials.core.cutting.records import CutSheet, Placed
from materials.core.drawing.panels import NumberedPiece, PanelDrawing, draw_panels
from materials.core.drawing.records import Frame, Hole, SurfaceDrawing
from materials.core.drawing.stock import (
    StockCut,
    StockDrawing,
    StockPiece,
    StockSheet,
    draw_stock,
)
from materials.core.lengths import Length
from materials.core.outlines import rectangle
from materials.core.plans.records import (
    BAND,
    LENGTH,
    ROLL,
    SHEET,
    LaidSurface,
    MaterialPlan,
    StockSize,
    cut_lines,
    left_over,
)

BAR_SHARE = 12
"""A length is drawn so many hundredths of its length high: room for two lines."""


def letter_of(number: int) -> str:
    """Return the letter of a cut: a to z, then aa, ab and so on.

    >>> [letter_of(number) for number in (1, 26, 27, 52, 53)]
    ['a', 'z', 'aa', 'az', 'ba']
    """
    before, at = divmod(number - 1, 26)
    letter = "abcdefghijklmnopqrstuvwxyz"[at]
    return letter_of(before) + letter if before else letter


def stock_words(plan: MaterialPlan, number: int) -> str:
    """Return what the stock of a plan is called, with its number."""
    size = plan.size_of(plan.cut.sheets[number - 1])
    if size.is_kept and size.mark:
        return _("From the rack: %(mark)s") % {"mark": size.mark}
    if size.is_kept:
        return _("Piece %(number)d, from the rack") % {"number": number}
    names = {
        SHEET: _("Sheet %(number)d"),
        ROLL: _("Roll %(number)d"),
        LENGTH: _("Length %(number)d"),
        BAND: _("Roll %(number)d"),
    }
    return names[plan.form] % {"number": number}


def stock_svg(
    plan: MaterialPlan, frame: Frame, *, name: str, only: int | None = None
) -> str:
    """Return the stock of a plan drawn with its pieces; `only` draws one of them.

    One alone is drawn with its cuts lettered in the order they are made.
    """
    numbered = list(enumerate(plan.cut.sheets, start=1))
    shown = numbered if only is None else numbered[only : only + 1]
    drawing = StockDrawing(
        name=name,
        sentence=plan.verdict,
        sheets=tuple(
            _stock_sheet(plan, sheet, number, with_cuts=only is not None)
            for number, sheet in shown
        ),
        most_across=0 if plan.form == SHEET else 1,
    )
    return draw_stock(drawing, frame)


def _stock_sheet(
    plan: MaterialPlan, sheet: CutSheet, number: int, *, with_cuts: bool
) -> StockSheet:
    size = plan.size_of(sheet)
    wide, high = _drawn_size(plan, sheet, size)
    return StockSheet(
        width=Length(wide),
        height=Length(high),
        word="" if with_cuts else _stock_word(plan, size, number),
        pieces=tuple(
            StockPiece(
                outline=_outline(plan, piece, high),
                word=str(plan.numbers[piece.name]),
                along=plan.is_line,
            )
            for piece in sheet.pieces
        ),
        left_over=tuple(
            _ring(plan, box, high)
            for box in left_over(sheet, _shown(plan, size, wide), plan.kerf)
        ),
        cuts=_cuts(plan, sheet, size, (wide, high)) if with_cuts else (),
    )


def _drawn_size(
    plan: MaterialPlan, sheet: CutSheet, size: StockSize
) -> tuple[int, int]:
    """Return how wide and high a piece of stock is drawn: rolls lie on their side.

    Of a roll only what is unrolled is drawn, and a hand's breadth more.
    """
    if plan.is_line:
        return size.width, size.width * BAR_SHARE // 100
    if plan.form == ROLL:
        used = max(piece.y + piece.height for piece in sheet.pieces)
        return min(size.height, used + size.width // 10), size.width
    return size.width, size.height


def _shown(plan: MaterialPlan, size: StockSize, wide: int) -> StockSize:
    """Return a roll as long as it is drawn; other stock as it is."""
    return replace(size, height=wide) if plan.form == ROLL else size


def _stock_word(plan: MaterialPlan, size: StockSize, number: int) -> str:
    if size.is_kept and size.mark:
        return size.mark
    named = stock_words(plan, number)
    return named if plan.form == SHEET or size.is_kept else f"{named}, {size.words}"


def _outline(
    plan: MaterialPlan, piece: Placed, high: int
) -> tuple[tuple[int, int], ...]:
    return _ring(plan, (piece.x, piece.y, piece.width, piece.height), high)


def _ring(
    plan: MaterialPlan, box: tuple[int, int, int, int], high: int
) -> tuple[tuple[int, int], ...]:
    x, y, wide, tall = box
    if plan.is_line:
        return rectangle(x, 0, x + wide, high)
    if plan.form == ROLL:
        return rectangle(y, x, y + tall, x + wide)
    return rectangle(x, y, x + wide, y + tall)


def _cuts(
    plan: MaterialPlan, sheet: CutSheet, size: StockSize, drawn: tuple[int, int]
) -> tuple[StockCut, ...]:
    """Return the cuts, none of them drawn beyond what is drawn of a roll."""
    wide, high = drawn
    found = []
    for line in cut_lines(sheet, size, plan.kerf):
        start, end = line.start, line.end
        if plan.is_line:
            start, end = (line.at, 0), (line.at, high)
        elif plan.form == ROLL:
            start, end = ((min(along, wide), across) for across, along in (start, end))
        found.append(StockCut(start=start, end=end, letter=letter_of(line.number)))
    return tuple(found)


def surface_panels_svg(surface: LaidSurface, frame: Frame, *, name: str) -> str:
    """Return a surface with the numbered pieces that cover it."""
    sentence = _("%(place)s: pieces %(numbers)s.") % {
        "place": surface.place,
        "numbers": ", ".join(str(piece.number) for piece in surface.pieces),
    }
    return draw_panels(
        PanelDrawing(
            surface=SurfaceDrawing(
                name=name,
                sentence=sentence,
                outline=surface.outline,
                holes=tuple(Hole(outline=hole) for hole in surface.holes),
            ),
            pieces=tuple(
                NumberedPiece(outline=piece.outline, number=piece.number)
                for piece in surface.pieces
            ),
            folds=surface.folds,
        ),
        frame,
    )

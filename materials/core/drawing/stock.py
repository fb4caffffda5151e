"""Whole sheets of a material with the pieces cut from them, and what is left over."""

from __future__ import annotations

from dataclasses import dataclass, replace

from materials.core.drawing.lettering import length_words, width_of, words
from materials.core.drawing.pen import (
    UNIT,
    WASTE,
    Point,
    Ring,
    Sheet,
    along,
    direction,
    distance,
)
from materials.core.drawing.records import Frame, Place
from materials.core.drawing.symbols import Scale, draw_leader, draw_scale_bar
from materials.core.errors import BadShape
from materials.core.lengths import INCH, Length


@dataclass(frozen=True, slots=True, kw_only=True)
class StockPiece:
    """One piece on a sheet: its outline from the sheet's lower left corner."""

    outline: tuple[Place, ...]
    word: str
    size: str = ""
    """Ready lettered markup; worked out from the outline when empty."""
    along: bool = False
    """Whether only its length matters: the size is its width alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StockCut:
    """One cut from place to place; letters follow the order of cutting."""

    start: Place
    end: Place
    letter: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StockSheet:
    """One whole sheet with what is cut from it."""

    width: Length
    height: Length
    pieces: tuple[StockPiece, ...]
    left_over: tuple[tuple[Place, ...], ...] = ()
    word: str = ""
    cuts: tuple[StockCut, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class StockDrawing:
    """All sheets of one cut plan, drawn side by side at one scale.

    `most_across` is how many stand in a row at most; nought leaves it to their size.
    """

    name: str
    sentence: str
    sheets: tuple[StockSheet, ...]
    most_across: int = 0


GAP = 26_00
"""Between sheets, with room for the leaders of narrow pieces."""
HEAD = 18_00
"""Over a row of sheets, for their words."""


def draw_stock(stock: StockDrawing, frame: Frame) -> str:
    """Return the sheets of a cut plan with their pieces, as SVG text.

    Method: as many sheets in a row as give each at least 76 px of width; one scale
    for all, the largest that fits the frame's width (or the frame's named ratio).
    Raises: BadShape for no sheets, or a sheet without size.
    """
    sheets = stock.sheets
    if not sheets or any(s.width.ticks <= 0 or s.height.ticks <= 0 for s in sheets):
        raise BadShape("A cut plan is drawn from one sheet with a size, or more.")
    widest = max(sheet.width.ticks for sheet in sheets)
    tallest = max(sheet.height.ticks for sheet in sheets)
    in_a_row = min(len(sheets), stock.most_across or len(sheets))
    across, plain = _scale(in_a_row, widest, tallest, frame)
    wide, high = plain.px(widest) + GAP, plain.px(tallest) + HEAD
    rows = -(-len(sheets) // across)
    size = frame.width * 100, rows * high + 30_00
    drawn = Sheet(
        name=stock.name, size=size, sentence=stock.sentence, style=frame.style
    )
    for index, sheet in enumerate(sheets):
        corner = 2_00 + index % across * wide, (index // across + 1) * high
        _draw_one(drawn, replace(plain, origin=corner), sheet, frame)
    foot = 2_00 + wide - GAP, size[1] - 14_00
    draw_scale_bar(drawn, plain, foot, frame.system, wide - GAP)
    return drawn.svg()


def _scale(count: int, widest: int, tallest: int, frame: Frame) -> tuple[int, Scale]:
    """Return how many sheets stand in a row, and their scale."""
    room = frame.width * 100 - 4_00
    if frame.ratio is not None:
        named = Scale(numerator=96_00, denominator=INCH * frame.ratio, origin=(0, 0))
        return min(count, max(room // (named.px(widest) + GAP), 1)), named
    across = min(count, max(room // (76_00 + GAP), 1))
    by_width = Scale(numerator=room // across - GAP, denominator=widest, origin=(0, 0))
    limit = frame.height * 100 - HEAD - 30_00
    if by_width.px(tallest) <= limit:
        return across, by_width
    return across, Scale(numerator=limit, denominator=tallest, origin=(0, 0))


def _draw_one(drawn: Sheet, scale: Scale, sheet: StockSheet, frame: Frame) -> None:
    whole = scale.ring(
        (
            (0, 0),
            (sheet.width.ticks, 0),
            (sheet.width.ticks, sheet.height.ticks),
            (0, sheet.height.ticks),
        )
    )
    drawn.polygon(whole, "of")
    if sheet.left_over:
        drawn.hatch(WASTE, [scale.ring(ring) for ring in sheet.left_over])
    for piece in sheet.pieces:
        drawn.polygon(scale.ring(piece.outline), "ef")
    drawn.polygon(whole, "o")
    narrow = [
        piece
        for piece in sheet.pieces
        if not _letter_inside(drawn, scale, piece, frame)
    ]
    _draw_leaders(drawn, scale, narrow, whole[1][0] + 7_00)
    for cut in sheet.cuts:
        _draw_cut(drawn, scale, cut)
    if sheet.word:
        middle = (whole[0][0] + whole[1][0]) // 2
        drawn.text((middle, whole[2][1] - 5_00), words(sheet.word), "t2")


def _draw_cut(drawn: Sheet, scale: Scale, cut: StockCut) -> None:
    """Draw a cut with its letter on a disc, a little way in from where it starts."""
    start, end = scale.at(*cut.start), scale.at(*cut.end)
    drawn.line(start, end, "e")
    long = distance(start, end)
    disc = drawn.style.disc
    at = along(start, direction(start, end), min(disc * 3 // 2, long // 2))
    drawn.circle(at, disc, "disc")
    drawn.text((at[0], at[1] + disc * 46 // 100), words(cut.letter), "num")


def _letter_inside(drawn: Sheet, scale: Scale, piece: StockPiece, frame: Frame) -> bool:
    """Letter a piece inside, upright when narrow; False when it has no room."""
    ring = scale.ring(piece.outline)
    wide, high = _box(ring)
    at = _centre(ring)
    letter = frame.style.letter
    name = words(piece.word)
    size = piece.size or _size_words(piece, drawn, frame)
    both = f"{name} {size}"
    if wide > width_of(size, letter) + 6_00 and high > letter * 5 // 2:
        drawn.text((at[0], at[1] - 2_00), name, "tl")
        drawn.text((at[0], at[1] + letter), size)
    elif wide > letter * 5 // 4 and high > width_of(both, letter) + 8_00:
        up = (0, -UNIT)
        drawn.text((at[0] + letter * 35 // 100, at[1]), both, way=up)
    elif wide > width_of(name, letter) + 4_00 and high > letter * 5 // 4:
        drawn.text((at[0], at[1] + letter * 35 // 100), name)
    else:
        return False
    return True


def _draw_leaders(
    drawn: Sheet, scale: Scale, narrow: list[StockPiece], edge: int
) -> None:
    """Draw leaders to the sheet's right, their letters a line apart from above down."""
    placed = sorted(
        ((scale.ring(piece.outline), piece.word) for piece in narrow),
        key=lambda item: _centre(item[0])[::-1],
    )
    last: int | None = None
    for ring, word in placed:
        low, high = min(y for _, y in ring), max(y for _, y in ring)
        x, y = _centre(ring)
        if last is not None:
            y = max(y, last + drawn.style.letter + 1_00)
        dot = x, min(max(y, low + 2_00), max(high - 2_00, low + 2_00))
        draw_leader(drawn, dot, (edge, y), words(word))
        last = y


def _size_words(piece: StockPiece, drawn: Sheet, frame: Frame) -> str:
    xs = [x for x, _ in piece.outline]
    ys = [y for _, y in piece.outline]
    wide, high = (
        length_words(
            Length(max(values) - min(values)),
            system=frame.system,
            setting=drawn.setting,
            unit=False,
        )
        for values in (xs, ys)
    )
    return wide if piece.along else f"{wide} × {high}"


def _box(ring: Ring) -> Point:
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    return max(xs) - min(xs), max(ys) - min(ys)


def _centre(ring: Ring) -> Point:
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    return (max(xs) + min(xs)) // 2, (max(ys) + min(ys)) // 2

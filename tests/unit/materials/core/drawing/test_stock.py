"""Whole sheets with the pieces cut from them."""

from __future__ import annotations

import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from materials.core.drawing.records import Frame, Place
from materials.core.drawing.stock import (
    StockCut,
    StockDrawing,
    StockPiece,
    StockSheet,
    draw_stock,
)
from materials.core.drawing.style import PRINT
from materials.core.errors import BadShape
from materials.core.lengths import INCH, Length

FRAME = Frame(system="imperial", width=358, height=400)


def box(left: int, bottom: int, width: int, height: int) -> tuple[Place, ...]:
    """Return a rectangle in inches."""
    x, y, right, top = (v * INCH for v in (left, bottom, left + width, bottom + height))
    return ((x, y), (right, y), (right, top), (x, top))


SHEET = StockSheet(
    width=Length.inch(48),
    height=Length.inch(96),
    pieces=(
        StockPiece(outline=box(0, 0, 34, 94), word="A"),
        StockPiece(outline=box(34, 40, 4, 24), word="K1"),
        StockPiece(outline=box(38, 40, 4, 24), word="K2"),
    ),
    left_over=(box(42, 0, 6, 96),),
    word="Sheet 1",
)
STOCK = StockDrawing(name="s", sentence="One sheet", sheets=(SHEET,))


def test_a_sheet_shows_pieces_left_over_and_its_name() -> None:
    svg = draw_stock(STOCK, FRAME)

    assert svg.count('class="ef"') == 3
    assert 'fill="url(#s-waste)"' in svg
    assert ">Sheet 1<" in svg
    ElementTree.fromstring(svg)


def test_letters_of_narrow_pieces_stand_outside_a_line_apart() -> None:
    svg = draw_stock(replace(STOCK, sheets=(SHEET,) * 3), FRAME)

    feet = [
        float(y) for y in re.findall(r'y="([\d.]+)" text-anchor="start">K[12]<', svg)
    ]
    assert len(feet) == 6
    assert all(abs(a - b) >= 13 for a, b in zip(feet[::2], feet[1::2], strict=True))


def test_many_sheets_stand_in_rows_at_one_scale() -> None:
    one = draw_stock(STOCK, Frame(style=PRINT, ratio=32, width=400))
    six = draw_stock(
        replace(STOCK, sheets=(SHEET,) * 6), Frame(style=PRINT, ratio=32, width=400)
    )

    def height(svg: str) -> float:
        found = re.search(r'viewBox="0 0 [\d.]+ ([\d.]+)"', svg)
        assert found is not None
        return float(found[1])

    assert height(six) - 30 == pytest.approx(3 * (height(one) - 30))


def test_no_sheets_or_one_without_size_is_refused() -> None:
    with pytest.raises(BadShape, match="one sheet"):
        draw_stock(replace(STOCK, sheets=()), FRAME)
    with pytest.raises(BadShape, match="size"):
        draw_stock(replace(STOCK, sheets=(replace(SHEET, width=Length(0)),)), FRAME)


def test_cuts_are_drawn_with_their_letters() -> None:
    cut = StockCut(start=(34 * INCH, 0), end=(34 * INCH, 96 * INCH), letter="a")
    plain = draw_stock(STOCK, FRAME)
    svg = draw_stock(replace(STOCK, sheets=(replace(SHEET, cuts=(cut,)),)), FRAME)

    assert ">a<" in svg
    assert svg.count('class="e"') == plain.count('class="e"') + 1


def test_lengths_stand_one_under_the_other_and_say_their_length_alone() -> None:
    piece = StockPiece(outline=box(0, 0, 60, 12), word="1", along=True)
    bar = StockSheet(width=Length.inch(96), height=Length.inch(12), pieces=(piece,))
    one = draw_stock(replace(STOCK, sheets=(bar,), most_across=1), FRAME)
    two = draw_stock(replace(STOCK, sheets=(bar, bar), most_across=1), FRAME)

    assert "×" not in one
    high = [int(re.findall(r'viewBox="0 0 \d+ (\d+)', svg)[0]) for svg in (one, two)]
    assert high[1] > high[0] + 20

"""Tile pieces on a surface."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from materials.core.drawing.records import Frame, Place, SurfaceDrawing
from materials.core.drawing.setout import (
    Piece,
    SetOutDrawing,
    Size,
    draw_set_out,
    pieces_sentence,
)
from materials.core.drawing.style import PRINT
from materials.core.errors import BadShape
from materials.core.lengths import MM, Length

FRAME = Frame(system="metric", width=390, height=390)


def box(left: int, bottom: int, width: int, height: int) -> tuple[Place, ...]:
    """Return a rectangle in millimetres."""
    x, y, right, top = (v * MM for v in (left, bottom, left + width, bottom + height))
    return ((x, y), (right, y), (right, top), (x, top))


SET_OUT = SetOutDrawing(
    surface=SurfaceDrawing(name="w", sentence="Wall", outline=box(0, 0, 1500, 600)),
    pieces=(
        Piece(outline=box(0, 0, 600, 300)),
        Piece(outline=box(603, 0, 600, 300)),
        Piece(outline=box(1206, 0, 294, 300), kind="cut", number=1),
        Piece(outline=box(0, 303, 294, 297), kind="reused", number=1),
    ),
    chalk=(((603 * MM, -50 * MM), (603 * MM, 650 * MM)),),
    sizes=(
        Size(
            start=(0, 600 * MM),
            end=(603 * MM, 600 * MM),
            side="top",
            length=Length.mm(603),
        ),
    ),
)


def test_whole_pieces_stay_plain_and_cut_ones_are_hatched() -> None:
    svg = draw_set_out(SET_OUT, FRAME)

    assert 'fill="url(#w-cut)"' in svg
    assert 'fill="url(#w-reused)"' in svg
    assert svg.count('fill-rule="evenodd"') == 2


def test_pieces_of_one_tile_carry_the_same_number_on_paper() -> None:
    svg = draw_set_out(SET_OUT, FRAME)

    assert len(re.findall(r'class="num"[^>]*>1<', svg)) == 2
    assert svg.count('class="disc"') == 2


def test_a_chalk_line_has_its_size_nearest_the_object() -> None:
    svg = draw_set_out(SET_OUT, FRAME)

    assert svg.count('class="cl"') == 1
    assert ">603<" in svg


def test_a_piece_of_an_unknown_kind_is_refused() -> None:
    odd = replace(SET_OUT, pieces=(Piece(outline=box(0, 0, 9, 9), kind="bent"),))

    with pytest.raises(BadShape, match="bent"):
        draw_set_out(odd, FRAME)


def test_the_sentence_counts_the_pieces() -> None:
    assert pieces_sentence(SET_OUT.pieces) == (
        "2 whole tiles, 1 cut, 1 cut from an offcut"
    )


def test_the_number_of_an_l_shaped_piece_stands_in_the_piece() -> None:
    ell = tuple(
        (x * MM, y * MM)
        for x, y in ((0, 0), (600, 0), (600, 90), (90, 90), (90, 600), (0, 600))
    )
    svg = draw_set_out(
        replace(SET_OUT, pieces=(Piece(outline=ell, kind="cut", number=7),), chalk=()),
        replace(FRAME, style=PRINT, ratio=8),
    )

    corner = re.search(r'<polygon class="of" points="([\d.]+),([\d.]+)', svg)
    disc = re.search(r'class="disc" cx="([\d.]+)" cy="([\d.]+)"', svg)
    assert corner is not None
    assert disc is not None
    to_mm = 96 / 25.4 / 8
    across = (float(disc[1]) - float(corner[1])) / to_mm
    up = (float(corner[2]) - float(disc[2])) / to_mm
    assert 0 < across < 600
    assert 0 < up < 600
    assert across < 90 or up < 90


def test_sheets_of_a_mosaic_meet_in_lines_heavier_than_its_joints() -> None:
    lines = (((750 * MM, 0), (750 * MM, 600 * MM)),)

    with_lines = draw_set_out(replace(SET_OUT, sheets=lines), FRAME)

    plain = draw_set_out(SET_OUT, FRAME)
    assert with_lines.count('class="e"') == plain.count('class="e"') + 1


def height_of(text: str) -> int:
    found = re.search(r'viewBox="0 0 [0-9.]+ ([0-9]+)', text)
    assert found is not None
    return int(found[1])


def noted(note: str) -> str:
    surface = replace(SET_OUT.surface, note=note)
    return draw_set_out(replace(SET_OUT, surface=surface), FRAME)


def test_a_note_with_no_room_beside_the_scale_bar_stands_below_it() -> None:
    plain, short = draw_set_out(SET_OUT, FRAME), noted("Scale 1 : 10")
    long = noted("Scale 1 : 10. 4321 whole tiles are not drawn, cut ones are all there")

    assert height_of(short) == height_of(plain)
    assert height_of(long) > height_of(plain)

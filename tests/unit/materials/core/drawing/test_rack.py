"""Pieces on the rack: on their longer side, shelf upon shelf, none over the edge."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from materials.core.drawing.rack import KeptPiece, draw_rack
from materials.core.drawing.records import Frame
from materials.core.errors import BadShape
from materials.core.lengths import MM
from materials.core.outlines import rectangle

FRAME = Frame(system="metric", width=358, height=400)


def kept(*sizes: tuple[int, int]) -> list[KeptPiece]:
    return [
        KeptPiece(outline=rectangle(0, 0, wide * MM, high * MM), word=str(number))
        for number, (wide, high) in enumerate(sizes, 1)
    ]


def corners(svg: str) -> list[list[float]]:
    found = re.findall(r'<polygon class="o" points="([^"]+)"', svg)
    return [[float(v) for v in re.split(r"[ ,]+", points.strip())] for points in found]


def test_a_tall_piece_lies_down_and_all_stay_on_the_sheet() -> None:
    svg = draw_rack(
        kept((600, 2400), (900, 600), (238, 400), (1000, 2700)),
        FRAME,
        name="r",
        sentence="Four pieces",
    )

    drawn = corners(svg)
    assert len(drawn) == 4
    for points in drawn:
        xs, ys = points[::2], points[1::2]
        assert max(xs) - min(xs) >= max(ys) - min(ys)
        assert min(xs) >= 0
        assert max(xs) <= 358
    ElementTree.fromstring(svg)


def test_short_pieces_share_a_shelf() -> None:
    first, second, third = corners(
        draw_rack(
            kept((400, 300), (400, 200), (1000, 100)), FRAME, name="r", sentence=""
        )
    )

    assert max(first[1::2]) == max(second[1::2])
    assert min(third[1::2]) > max(first[1::2])


def test_an_empty_rack_and_a_piece_without_size_are_not_drawn() -> None:
    with pytest.raises(BadShape):
        draw_rack([], FRAME, name="r", sentence="")
    with pytest.raises(BadShape):
        draw_rack(kept((0, 10)), FRAME, name="r", sentence="")

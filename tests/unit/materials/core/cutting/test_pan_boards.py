from __future__ import annotations

import pytest

from materials.core.cutting.pan_boards import board_pieces
from materials.core.cutting.pan_floor import floor_of
from materials.core.cutting.pan_outlines import Point
from tests.pan_cases import a_board, a_drain, a_recess, box, inches, ticks


@pytest.mark.parametrize(
    ("flats", "counts"),
    [
        ((box(0, 24, 38, 35),), [1]),
        ((box(0, 15, 20, 35), box(20, 15, 38, 35)), [1, 0]),
        ((box(0, 5, 38, 35),), [2]),
    ],
    ids=["fits", "two share one", "larger than one"],
)
def test_boards_are_bought_whole(
    flats: tuple[tuple[Point, ...], ...], counts: list[int]
) -> None:
    pieces = board_pieces(floor_of(a_recess(flats=flats)), a_board())

    assert not isinstance(pieces, str)
    assert [piece.count for piece in pieces] == counts


@pytest.mark.parametrize(
    ("flats", "counts"),
    [
        ((box(0, 0, 30, 10), box(0, 10, 30, 20)), [1, 0]),
        ((box(0, 0, 60, 10),), [1]),
        ((box(0, 0, 48, 12), box(0, 12, 24, 24), box(24, 12, 48, 24)), [1, 0, 0]),
        ((box(0, 0, 40, 14), box(0, 14, 40, 28)), [1, 1]),
    ],
    ids=["one above the other", "longer than a board", "three", "two do not"],
)
def test_no_more_boards_are_bought_than_the_cuts_need(
    flats: tuple[tuple[Point, ...], ...], counts: list[int]
) -> None:
    recess = a_recess(outline=box(0, 0, 80, 60), drain=a_drain(2, 0, 80), flats=flats)

    pieces = board_pieces(floor_of(recess), a_board(count=sum(counts)))

    assert not isinstance(pieces, str)
    assert [piece.count for piece in pieces] == counts


def test_hundreds_of_panels_are_no_fixture_s_base() -> None:
    floor = floor_of(a_recess(flats=(box(0, 5, 38, 35),)))
    tile = a_board(width=inches(1), depth=inches(1))

    assert "hundreds of panels" in str(board_pieces(floor, tile))


def test_a_board_is_turned_when_that_takes_fewer() -> None:
    recess = a_recess(flats=(box(0, 20, 12, 35),))
    narrow = a_board(width=inches(12), depth=inches(20))

    pieces = board_pieces(floor_of(recess), narrow)

    assert not isinstance(pieces, str)
    assert [piece.count for piece in pieces] == [1]


def test_only_what_lies_in_the_recess_is_covered() -> None:
    pieces = board_pieces(floor_of(a_recess(flats=(box(-5, 24, 60, 50),))), a_board())

    assert not isinstance(pieces, str)
    assert pieces[0].area == ticks(38) * ticks(11)


def test_too_few_boards_is_a_reason() -> None:
    floor = floor_of(a_recess(flats=(box(0, 5, 38, 35),)))

    assert board_pieces(floor, a_board(count=1)) == (
        "2 of “Flat 2” are needed and 1 are to be had"
    )

"""Rectangles anywhere in a tile: closed forms and the simplest bound."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from quotes.core.layout.free import Rectangle, free_tiles
from tests.cases import some_cases


def packed(*pieces: Rectangle, kerf: int = 0, turning: bool = True) -> int:
    return free_tiles(pieces, length=300, width=200, kerf=kerf, turning=turning)


def test_nine_ninths_fill_one_tile() -> None:
    assert packed(Rectangle(100, 66, 9)) == 1


def test_a_kerf_takes_its_room() -> None:
    assert packed(Rectangle(150, 200, 2)) == 1
    assert packed(Rectangle(150, 200, 2), kerf=1) == 2


def test_a_piece_is_turned_only_when_it_may_be() -> None:
    assert packed(Rectangle(200, 100, 3)) == 1
    assert packed(Rectangle(200, 100, 3), turning=False) == 2


@given(
    st.lists(
        st.builds(
            Rectangle, st.integers(1, 300), st.integers(1, 200), st.integers(1, 9)
        ),
        min_size=1,
        max_size=6,
    )
)
@some_cases
def test_never_fewer_than_the_area_and_never_more_than_the_pieces(
    pieces: list[Rectangle],
) -> None:
    area = sum(p.width * p.height * p.count for p in pieces)

    assert -(-area // 60_000) <= packed(*pieces) <= sum(p.count for p in pieces)

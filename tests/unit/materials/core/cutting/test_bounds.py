"""Dual feasible functions keep what fits within what they allow."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.core.cutting.bounds import (
    area_bound,
    function_capacity,
    function_value,
    sheet_bound,
    stand_ins,
)
from materials.core.cutting.problem import prepared
from materials.core.cutting.records import Piece, Rules, Stock


@pytest.mark.parametrize("name", ["f0", "ccm", "u"])
@given(data=st.data())
def test_what_fits_side_by_side_fits_after_the_function(
    name: str, data: st.DataObject
) -> None:
    stock = data.draw(st.integers(4, 60))
    k = data.draw(st.integers(0 if name == "f0" else 1, stock // 2))
    left = stock
    total = 0
    while left and data.draw(st.booleans()):
        length = data.draw(st.integers(1, left))
        left -= length
        total += function_value(name, k, length, stock)

    assert total <= function_capacity(name, k, stock)


def test_pieces_over_half_need_a_sheet_each_though_their_area_does_not() -> None:
    pieces = [Piece(name="a", width=6, height=6, count=4)]
    problem = prepared(pieces, [Stock(name="s", width=10, height=10)], Rules())

    assert area_bound(problem, problem.sizes[0]) == 2
    assert sheet_bound(problem, problem.sizes[0], enough=99).sheets == 4


def test_stand_ins_begin_with_the_area_and_ask_for_as_much_as_the_best_pair() -> None:
    problem = prepared(
        [Piece(name="half", width=385, height=1536, count=5)],
        [Stock(name="sheet", width=768, height=1536)],
        Rules(),
    )
    areas = stand_ins(problem, problem.sizes[0])

    assert areas[0].values[0] * 768 * 1536 == areas[0].capacity * 385 * 1536
    assert max(-(-5 * row.values[0] // row.capacity) for row in areas) == 5

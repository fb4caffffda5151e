"""Prices by area bound the money, offcuts and sums of prices included."""

from __future__ import annotations

from materials.core.cutting.money_bound import area_prices, fewest_sheets, next_sum
from materials.core.cutting.problem import prepared
from materials.core.cutting.records import Piece, Rules, Stock

PIECES = [Piece(name="a", width=10, height=10, count=5)]
STOCK = [
    Stock(name="large", width=20, height=10, price=20),
    Stock(name="offcut", width=10, height=10, count=1),
]


def test_a_free_offcut_takes_only_its_share_off_the_bound() -> None:
    problem = prepared(PIECES, STOCK, Rules())

    assert area_prices(problem).bound(problem) == 40
    assert fewest_sheets(problem, 40) == 3


def test_a_bound_is_raised_to_a_sum_of_prices() -> None:
    problem = prepared(PIECES, STOCK, Rules())

    assert next_sum(problem, 21) == 40

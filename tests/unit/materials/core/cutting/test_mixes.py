"""Mixes: only what is cheaper and large enough."""

from __future__ import annotations

from materials.core.cutting.mixes import cheaper_mixes
from materials.core.cutting.problem import prepared
from materials.core.cutting.records import Piece, Rules, Stock
from materials.core.cutting.search import Found


def test_a_mix_is_cheaper_and_its_area_is_enough() -> None:
    stock = [
        Stock(name="large", width=10, height=10, price=10),
        Stock(name="small", width=10, height=5, price=6),
    ]
    pieces = [Piece(name="a", width=5, height=5, count=6)]
    problem = prepared(pieces, stock, Rules())
    best = Found(sizes=(0, 0), moves=((), ()), cost=20)

    mixes = cheaper_mixes(problem, best, (0, 0))

    assert (0, 1) in mixes
    assert all(sum(problem.sizes[n].area for n in mix) >= problem.area for mix in mixes)
    assert all(sum(problem.sizes[n].price for n in mix) < 20 for mix in mixes)

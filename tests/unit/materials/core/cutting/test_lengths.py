"""Lengths: the same as sheets in one direction."""

from __future__ import annotations

from materials.core.cutting.lengths import bar, length_piece, plan_lengths
from materials.core.cutting.records import Rules


def test_three_battens_are_cut_from_two_bars_with_a_kerf() -> None:
    pieces = [length_piece("a", 50, count=2), length_piece("b", 30, count=2)]

    plan = plan_lengths(pieces, [bar("bar", 100, price=5)], Rules(kerf=1))

    assert (plan.used, plan.cost, plan.proven) == (2, 10, True)

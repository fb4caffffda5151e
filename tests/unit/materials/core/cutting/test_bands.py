"""Bands: pieced where a roll ends, no roll too many."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.core.cutting.bands import plan_bands
from materials.core.errors import OutOfRange


@given(st.lists(st.integers(1, 40), min_size=1, max_size=12), st.integers(0, 3))
def test_all_runs_are_covered_and_no_roll_is_overdrawn(
    lengths: list[int], lap: int
) -> None:
    runs = [(f"r{at}", length) for at, length in enumerate(lengths)]

    plan = plan_bands(runs, roll=15, lap=lap)

    for name, length in runs:
        pieces = [piece.length for piece in plan.pieces if piece.run == name]
        assert sum(pieces) - lap * (len(pieces) - 1) == length
    for roll in range(plan.rolls):
        assert sum(piece.length for piece in plan.pieces if piece.roll == roll) <= 15
    assert plan.least <= plan.rolls


def test_nonsense_is_refused() -> None:
    with pytest.raises(OutOfRange):
        plan_bands([("a", 3)], roll=2, lap=2)

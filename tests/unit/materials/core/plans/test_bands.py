"""Bands: unrolled from a mix of rolls, joined by laps, no length lost."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from materials.core.need import PackFacts
from materials.core.plans.bands import BandPlan, Run, planned_bands

TEN = PackFacts(key="10", label="roll 10 m", content=Fraction(10), price=275)
THIRTY = PackFacts(key="30", label="roll 30 m", content=Fraction(30), price=690)


def planned(lengths: list[int], packs: list[PackFacts], lap: int = 50) -> BandPlan:
    runs = [Run(place=f"run {n}", length=one) for n, one in enumerate(lengths)]
    found = planned_bands(runs, packs, lap=lap, ticks=1_000)
    assert found is not None
    return found


def test_five_corners_of_a_shower_come_from_one_roll() -> None:
    found = planned([2_365, 2_365, 1_300, 1_000, 1_000], [TEN, THIRTY])

    assert (found.rolls, found.unrolled) == ({"10": 1}, 8_030)
    assert found.plan.verdict == "1 roll; nothing cheaper holds the length."


def test_a_run_that_outlasts_a_roll_is_joined_by_a_lap() -> None:
    found = planned([12_000], [TEN])

    lengths = [piece.width for sheet in found.plan.cut.sheets for piece in sheet.pieces]
    assert sorted(lengths) == [2_050, 10_000]
    assert found.rolls == {"10": 2}


def test_a_dearer_mix_is_bought_only_where_the_laps_ask_for_it() -> None:
    found = planned([12_000, 8_000], [TEN])

    assert found.rolls == {"10": 3}
    assert "one more than the bare length" in found.plan.verdict
    assert not found.plan.cut.proven


def test_the_cheapest_mix_is_taken() -> None:
    assert planned([36_000], [TEN, THIRTY]).rolls == {"10": 1, "30": 1}
    assert planned([25_000], [TEN, THIRTY]).rolls == {"30": 1}


def test_no_run_and_no_roll_have_no_plan() -> None:
    assert planned_bands([], [TEN], lap=50, ticks=1_000) is None
    assert planned_bands([Run(place="a", length=1)], [], lap=50, ticks=1_000) is None


@given(st.lists(st.integers(1, 25_000), min_size=1, max_size=12), st.integers(0, 90))
def test_every_run_is_banded_whole_with_its_laps(lengths: list[int], lap: int) -> None:
    found = planned(lengths, [TEN, THIRTY], lap)

    held: dict[str, list[int]] = {}
    for sheet in found.plan.cut.sheets:
        end = 0
        for piece in sheet.pieces:
            assert piece.x == end
            end += piece.width
            held.setdefault(found.plan.places[piece.name], []).append(piece.width)
        assert end <= int(sheet.stock) * 1_000
    for number, length in enumerate(lengths):
        parts = held[f"run {number}"]
        assert sum(parts) - lap * (len(parts) - 1) == length

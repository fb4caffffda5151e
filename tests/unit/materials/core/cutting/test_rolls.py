"""Rolls: strips lap, both directions are tried."""

from __future__ import annotations

import pytest

from materials.core.cutting.rolls import (
    ACROSS,
    ALONG,
    Laps,
    Roll,
    RollArea,
    plan_rolls,
    run_length,
    strips_of,
)
from materials.core.errors import OutOfRange

ROLL = Roll(name="roll", width=1_000, length=30_000, price=100)
LAPS = Laps(side=50, end=100)
FLOOR = RollArea(name="floor", width=2_400, length=3_000)


@pytest.mark.parametrize(("way", "run"), [(ALONG, 9_000), (ACROSS, 9_600)])
def test_the_run_depends_on_the_direction(way: str, run: int) -> None:
    assert run_length(strips_of(FLOOR, ROLL, LAPS, way)) == run


def test_a_long_strip_is_pieced_with_a_lap() -> None:
    short = Roll(name="roll", width=3_000, length=2_000)

    pieces = [strip.length for strip in strips_of(FLOOR, short, LAPS, ALONG)]

    assert pieces == [2_000, 1_100]


def test_turn_ups_are_covered_and_the_shorter_run_wins() -> None:
    plan = plan_rolls([FLOOR], ROLL, LAPS)

    assert (plan.run, plan.plan.used) == (9_000, 1)
    assert (
        plan_rolls(
            [RollArea(name="floor", width=2_400, length=3_000, up_length=200)],
            ROLL,
            LAPS,
        ).run
        == 9_600
    )


def test_a_lap_as_wide_as_the_roll_is_refused() -> None:
    with pytest.raises(OutOfRange, match="lap"):
        plan_rolls([FLOOR], ROLL, Laps(side=1_000, end=0))

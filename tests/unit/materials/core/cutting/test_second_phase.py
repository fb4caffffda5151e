"""The second phase: as many sheets, never a smaller leftover, every rule kept."""

from __future__ import annotations

from random import Random
from typing import Any

import pytest

from materials.core.cutting.records import Budget
from tests.cutting_replay import exact, planned

SINGLE = Budget(work=30_000)
TWOFOLD = Budget(work=30_000, tidy=200_000)


def largest(told: dict[str, Any]) -> Any:
    return max(
        (exact(row["width"]) * exact(row["height"]) for row in told["leftovers"]),
        default=0,
    )


def job(seed: int) -> dict[str, Any]:
    rng = Random(f"second phase {seed}")
    return {
        "unit": "in",
        "kerf": ("0", "1/8")[seed % 2],
        "snap": ("0", "1")[seed % 3 == 2],
        "leftover": [12, 12],
        "stock": [
            {"name": "sheet", "width": 48, "height": 96, "price": 40},
            {"name": "small", "width": 36, "height": 60, "price": 21},
        ][: 1 + (seed % 4 == 3)],
        "pieces": [
            {
                "name": f"{at}",
                "width": rng.randint(4, 30),
                "height": rng.randint(6, 60),
                "count": rng.randint(1, 2),
                "turn": rng.random() < 0.7,
            }
            for at in range(rng.randint(4, 10))
        ],
    }


@pytest.mark.parametrize("seed", range(6))
def test_no_sheet_more_and_no_smaller_leftover(seed: int) -> None:
    single = planned(job(seed), SINGLE)
    twofold = planned(job(seed), TWOFOLD)

    assert (twofold["cost"], twofold["used"]) == (single["cost"], single["used"])
    assert largest(twofold) >= largest(single)


def test_it_finds_more_to_keep_over_many_jobs() -> None:
    single = sum(largest(planned(job(seed), SINGLE)) for seed in range(12, 18))
    twofold = sum(largest(planned(job(seed), TWOFOLD)) for seed in range(12, 18))

    assert twofold > single * exact("1.1")

"""The checker finds what is wrong with a plan or a proof."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest

from materials.core.cutting.checker import faults
from tests.cutting_replay import planned

JOB: dict[str, Any] = {
    "unit": "in",
    "kerf": "1/8",
    "leftover": [6, 6],
    "stock": [{"name": "s", "width": 48, "height": 96, "price": "20"}],
    "pieces": [{"name": "a", "width": "24 1/16", "height": "30", "count": 5}],
}


def test_a_plan_as_made_has_no_fault() -> None:
    assert faults(JOB, planned(JOB)) == []


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda told: told["sheets"][0]["cuts"].pop(), "no part that the cuts"),
        (lambda told: told["sheets"][0]["pieces"].pop(), "times, not 5"),
        (lambda told: told.update(cost="1.00"), "the cost is"),
        (lambda told: told.update(proven=not told["proven"]), "proven"),
        (lambda told: told.update(bought=9), "add up"),
        (lambda told: told["leftovers"].clear(), "not listed"),
        (lambda told: told["lower_bound"].update(sheets=9), "above the plan"),
    ],
)
def test_a_plan_that_was_tampered_with_is_caught(change: Any, words: str) -> None:
    told = deepcopy(planned(JOB))
    change(told)

    assert any(words in text for text in faults(JOB, told))


def test_a_price_that_a_pattern_exceeds_proves_nothing() -> None:
    told = planned(JOB)
    told["certificate"] = {"kind": "price", "scale": 1, "prices": {"a": 9_999}}

    assert any("certificate" in text for text in faults(JOB, told))

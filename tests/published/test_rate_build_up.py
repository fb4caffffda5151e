"""A government's rate built up share by share, with the rounding of every line."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from moneyed import Money

from materials.core import amounts
from quotes.core.pricing import marked_up, to_step
from tests.published.source_files import load

DATA = load("cpwd_rates")

# Water, tax factor, overhead with profit, cess: the same for every item.
SHARES = ("0.01", "0.1405", "0.15", "0.01")


@pytest.mark.parametrize("case", DATA["case"], ids=lambda case: case["id"])
def test_a_rate_builds_up_to_the_printed_one(case: dict[str, Any]) -> None:
    sums = [Money(case["direct"], "INR")]
    for share in SHARES:
        sums.append(marked_up(sums[-1], Fraction(share)))
    steps = [amounts.plain(money) for money in sums[1:]]

    if case["steps"]:
        assert steps == case["steps"]
    if "last" in case:
        assert steps[-1] == case["last"]
    if "rate" in case:
        rate = to_step(sums[-1], Money("0.05", "INR"))
        assert amounts.plain(rate) == case["rate"]
    if "per_m2" in case:
        tenth = amounts.unit_price(amounts.exact(sums[-1]) / 10, "INR")
        assert amounts.plain(to_step(tenth, Money("0.05", "INR"))) == case["per_m2"]

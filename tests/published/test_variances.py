"""Variances printed in a textbook, recomputed exactly."""

from __future__ import annotations

import tomllib
from fractions import Fraction
from pathlib import Path

import pytest
from moneyed import Money

from jobs.core.variance import Measure, applied_overhead, overhead_rate, split
from materials.core import amounts

DATA = tomllib.loads(
    (Path(__file__).parent / "data" / "openstax_variances.toml").read_text("utf-8")
)


@pytest.mark.parametrize("case", DATA["case"], ids=lambda case: case["id"])
def test_a_printed_variance_comes_out_in_its_parts(case: dict[str, str]) -> None:
    quantity = Fraction(case["standard_quantity"])
    standard = Measure(
        quantity=quantity,
        cost=amounts.extend(Money(case["standard_price"], "USD"), quantity),
    )
    if amounts.exact(standard.cost) != quantity * Fraction(case["standard_price"]):
        # 0.25 lb at 7 and 0.10 h at 8.00 are whole cents; a case that is not would
        # have to be scaled up first.
        pytest.fail("The standard cost of this case is no whole number of cents.")
    actual = Measure(
        quantity=Fraction(case["actual_quantity"]),
        cost=Money(case["actual_cost"], "USD"),
    )

    parts = split(standard=standard, actual=actual)

    assert parts.price == Money(case["price"], "USD")
    assert parts.usage == Money(case["usage"], "USD")
    assert parts.total == Money(case["total"], "USD")


@pytest.mark.parametrize("case", DATA["job_cost"], ids=lambda case: case["id"])
def test_a_printed_job_cost_adds_up(case: dict[str, str]) -> None:
    overhead = applied_overhead(
        Money(case["overhead_rate"], "USD"), Fraction(case["overhead_base"])
    )
    parts = [Money(case["materials"], "USD"), Money(case["labour"], "USD"), overhead]

    assert overhead == Money(case["overhead"], "USD")
    assert amounts.total(parts, "USD") == Money(case["cost"], "USD")


@pytest.mark.parametrize("case", DATA["overhead_rate"], ids=lambda case: case["id"])
def test_a_printed_overhead_rate(case: dict[str, str]) -> None:
    rate = overhead_rate(Money(case["yearly"], "USD"), Fraction(case["hours"]))

    assert rate == Money(case["rate"], "USD")

"""Quoted against actual: differences that add up."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from moneyed import Money

from jobs.core.variance import (
    CostReport,
    LineCost,
    Measure,
    forecast,
    margin_rate,
    overhead_rate,
    report,
    split,
)
from materials.core.errors import OutOfRange
from quotes.core.document import COST_CLASSES


def usd(text: str) -> Money:
    return Money(text, "USD")


def measure(quantity: int | str, cost: str) -> Measure:
    return Measure(quantity=Fraction(quantity), cost=usd(cost))


NOTHING = measure(0, "0.00")
CENTS = st.integers(0, 10**7).map(lambda n: Money(Decimal(n).scaleb(-2), "USD"))
QUANTITIES = st.just(Fraction(0)) | st.fractions(
    Fraction(1, 10), 10_000, max_denominator=1000
)
# A thousandth of a sheet at ten thousand, made good by ten thousand sheets, is more
# money than an amount can hold: that is refused, and not looked at here.
MEASURES = st.builds(Measure, quantity=QUANTITIES, cost=CENTS)


def line(
    quoted: Measure,
    actual: Measure,
    *,
    committed: Measure | None = None,
    cost_class: str = "materials",
    finished: bool = False,
) -> LineCost:
    return LineCost(
        key="a",
        cost_class=cost_class,
        text="a line",
        unit="m2",
        quoted=quoted,
        committed=committed or actual,
        actual=actual,
        finished=finished,
    )


@given(MEASURES, MEASURES)
def test_the_two_parts_add_up_to_the_difference(
    standard: Measure, actual: Measure
) -> None:
    parts = split(standard=standard, actual=actual)

    assert parts.total == actual.cost - standard.cost
    assert parts.price + parts.usage == parts.total


@given(MEASURES)
def test_a_job_that_went_as_quoted_has_no_variance(standard: Measure) -> None:
    parts = split(standard=standard, actual=standard)

    assert parts.price == parts.usage == usd("0.00")


def test_seven_boxes_quoted_and_eight_bought_a_little_cheaper() -> None:
    parts = split(standard=measure(7, "498.40"), actual=measure(8, "559.20"))

    assert parts.usage == usd("71.20")
    assert parts.price == usd("-10.40")


def test_more_hours_at_the_quoted_wage_are_all_usage() -> None:
    parts = split(standard=measure(15, "690.00"), actual=measure("17.5", "805.00"))

    assert (parts.usage, parts.price) == (usd("115.00"), usd("0.00"))


def test_what_nobody_budgeted_is_all_usage() -> None:
    parts = split(standard=NOTHING, actual=measure(3, "12.00"))

    assert (parts.usage, parts.price) == (usd("12.00"), usd("0.00"))


def test_what_was_not_bought_is_all_usage() -> None:
    parts = split(standard=measure(3, "12.00"), actual=NOTHING)

    assert (parts.usage, parts.price) == (usd("-12.00"), usd("0.00"))


def test_an_untouched_line_is_forecast_as_quoted() -> None:
    assert forecast(
        quoted=measure(4, "127.00"), committed=NOTHING, finished=False
    ) == usd("127.00")


def test_a_started_line_is_forecast_as_spent_and_the_rest_as_quoted() -> None:
    assert forecast(
        quoted=measure(4, "128.00"), committed=measure(1, "40.00"), finished=False
    ) == usd("136.00")


def test_a_finished_line_is_forecast_as_spent() -> None:
    assert forecast(
        quoted=measure(4, "128.00"), committed=measure(1, "40.00"), finished=True
    ) == usd("40.00")


def test_a_lump_is_forecast_at_the_larger_of_quoted_and_committed() -> None:
    quoted = measure(0, "100.00")

    assert forecast(
        quoted=quoted, committed=measure(1, "30.00"), finished=False
    ) == usd("100.00")
    assert forecast(
        quoted=quoted, committed=measure(1, "130.00"), finished=False
    ) == usd("130.00")


@given(MEASURES, MEASURES)
def test_a_forecast_is_never_below_what_is_committed(
    quoted: Measure, committed: Measure
) -> None:
    outcome = forecast(quoted=quoted, committed=committed, finished=False)

    assert outcome >= committed.cost


@given(
    st.lists(st.tuples(MEASURES, MEASURES, st.sampled_from(COST_CLASSES)), max_size=8)
)
def test_classes_add_up_to_the_job(
    rows: list[tuple[Measure, Measure, str]],
) -> None:
    lines = [line(quoted, actual, cost_class=kind) for quoted, actual, kind in rows]

    whole = report(lines, currency="USD")

    for name in ("quoted", "committed", "actual", "forecast", "price", "usage"):
        assert getattr(whole.sums, name) == _add(whole, name)
    assert whole.sums.total == whole.sums.actual - whole.sums.quoted
    assert sum(len(part.lines) for part in whole.classes) == len(lines)


def _add(whole: CostReport, name: str) -> Money:
    return sum((getattr(part.sums, name) for part in whole.classes), usd("0.00"))


def test_a_class_that_is_none_is_refused() -> None:
    with pytest.raises(OutOfRange, match="no class of cost"):
        report([line(NOTHING, NOTHING, cost_class="luck")], currency="USD")


def test_margin_is_a_share_of_the_price() -> None:
    assert margin_rate(price=usd("125.00"), cost=usd("100.00")) == Fraction(1, 5)
    assert margin_rate(price=usd("0.00"), cost=usd("1.00")) is None


def test_overhead_needs_productive_hours() -> None:
    with pytest.raises(OutOfRange):
        overhead_rate(usd("100.00"), Fraction(0))

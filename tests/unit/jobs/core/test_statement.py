"""Open sums by age."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from moneyed import Money

from jobs.core.statement import OpenItem, age_of, aged, days_overdue

TODAY = date(2026, 6, 1)


@pytest.mark.parametrize(
    ("late", "column"),
    [
        (-5, "not_due"),
        (0, "not_due"),
        (1, "to_30"),
        (30, "to_30"),
        (31, "to_60"),
        (60, "to_60"),
        (61, "to_90"),
        (90, "to_90"),
        (91, "over_90"),
    ],
)
def test_an_item_stands_in_the_column_of_its_age(late: int, column: str) -> None:
    assert age_of(TODAY - timedelta(days=late), TODAY) == column


def test_an_item_is_not_overdue_on_the_day_it_is_due() -> None:
    assert days_overdue(TODAY, TODAY) == 0
    assert days_overdue(TODAY - timedelta(days=1), TODAY) == 1


@given(st.lists(st.tuples(st.integers(-400, 400), st.integers(-100, 10_000))))
def test_the_columns_add_up(rows: list[tuple[int, int]]) -> None:
    items = [
        OpenItem(
            number=str(place),
            client="Mrs Okafor",
            due_on=TODAY - timedelta(days=late),
            open=Money(units, "GBP"),
        )
        for place, (late, units) in enumerate(rows)
    ]

    table = aged(items, on=TODAY, currency="GBP")

    assert len(table.columns) == 5
    assert sum(money.amount for _, money in table.columns) == table.total.amount

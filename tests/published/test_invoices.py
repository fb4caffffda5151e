"""Invoices printed by others, recomputed to the cent."""

from __future__ import annotations

import tomllib
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from moneyed import Money

from jobs.core.invoicing import Adjustment, Line, TaxKey, tax_on, totals

DATA = tomllib.loads(
    (Path(__file__).parent / "data" / "en16931_invoices.toml").read_text("utf-8")
)


def _tax(row: dict[str, Any]) -> TaxKey:
    return TaxKey(category=row["category"], rate=Fraction(row["percent"]) / 100)


def _line(row: dict[str, Any], place: int, currency: str) -> Line:
    def money(name: str) -> Money | None:
        return Money(row[name], currency) if name in row else None

    return Line(
        key=str(place),
        text=f"line {place}",
        quantity=Fraction(row["quantity"]),
        unit="C62",
        price=Money(row["price"], currency),
        tax=_tax(row),
        base_quantity=Fraction(row.get("base", "1")),
        allowance=money("allowance"),
        charge=money("charge"),
    )


@pytest.mark.parametrize("case", DATA["case"], ids=lambda case: case["id"])
def test_a_printed_invoice_comes_to_its_printed_sums(case: dict[str, Any]) -> None:
    currency = case["currency"]
    lines = [_line(row, place, currency) for place, row in enumerate(case["lines"])]
    adjustments = [
        Adjustment(
            reason="as printed",
            amount=Money(row["amount"], currency),
            tax=_tax(row),
            is_charge=row["charge"],
        )
        for row in case.get("adjustments", [])
    ]
    prepaid = Money(case.get("prepaid", "0"), currency)

    sums = totals(lines, currency=currency, adjustments=adjustments, prepaid=prepaid)

    for row, line in zip(case["lines"], lines, strict=True):
        if "net" in row:
            assert line.net == Money(row["net"], currency)
    assert {(row.tax, row.base, row.amount) for row in sums.rows} == {
        (_tax(row), Money(row["base"], currency), Money(row["amount"], currency))
        for row in case["taxes"]
    }
    assert sums.lines == Money(case.get("line_sum", case["net"]), currency)
    assert sums.net == Money(case["net"], currency)
    assert sums.tax == Money(case["tax"], currency)
    assert sums.gross == Money(case["gross"], currency)
    assert sums.due == Money(case["due"], currency)


@pytest.mark.parametrize("case", DATA["tax"], ids=lambda case: case["id"])
def test_printed_tax_on_its_base(case: dict[str, str]) -> None:
    tax = TaxKey(category="S", rate=Fraction(case["percent"]) / 100)

    assert tax_on(Money(case["base"], "EUR"), tax) == Money(case["amount"], "EUR")


@pytest.mark.parametrize("case", DATA["tax_refused"], ids=lambda case: case["id"])
def test_tax_that_must_be_refused_is_not_what_comes_out(case: dict[str, str]) -> None:
    tax = TaxKey(category="S", rate=Fraction(case["percent"]) / 100)

    assert tax_on(Money(case["base"], "EUR"), tax) != Money(case["amount"], "EUR")

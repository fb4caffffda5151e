"""Tax of a quote, by category and rate, against printed invoices: tolerance zero."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from moneyed import Money

from quotes.core.document import OfferedLine, TaxPart
from quotes.core.tax import tax_lines
from tests.published.source_files import load

DATA = load("en16931_invoices")


def _offered(rows: list[dict[str, str]], currency: str) -> list[OfferedLine]:
    lines = []
    for place, row in enumerate(rows):
        base = Money(row["base"], currency)
        part = TaxPart(
            category=row["category"], rate=Fraction(row["percent"]) / 100, base=base
        )
        lines.append(
            OfferedLine(key=str(place), text=str(place), price=base, parts=(part,))
        )
    return lines


@pytest.mark.parametrize(
    "case",
    [case for case in DATA["case"] if "taxes" in case],
    ids=lambda case: case["id"],
)
def test_printed_tax_of_each_rate(case: dict[str, Any]) -> None:
    code = case["currency"]

    found = tax_lines(_offered(case["taxes"], code), basis="document", code=code)

    printed = {
        (row["category"], Fraction(row["percent"]) / 100): Money(row["amount"], code)
        for row in case["taxes"]
    }
    assert {(line.category, line.rate): line.tax for line in found} == printed


@pytest.mark.parametrize("row", DATA["tax"], ids=lambda row: row["id"])
@pytest.mark.parametrize("basis", ["document", "line"])
def test_printed_tax_of_one_base(row: dict[str, str], basis: str) -> None:
    offered = _offered([{"category": "S", **row}], "EUR")

    (line,) = tax_lines(offered, basis=basis, code="EUR")

    assert line.tax == Money(row["amount"], "EUR")

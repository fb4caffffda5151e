"""The price list as rows of a table."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

from materials.core.pricelist import (
    DatedPrice,
    ListedMaterial,
    ListedPack,
    PriceList,
)
from materials.core.tables import comma
from materials.core.tables.price_changes import compared
from materials.core.tables.price_columns import COLUMNS, read_rows
from materials.core.tables.price_table import price_table, prices_from

TODAY = date(2026, 5, 4)


def dated(day: str, amount: int, least: int = 1, until: str = "") -> DatedPrice:
    return DatedPrice(
        valid_from=date.fromisoformat(day),
        valid_until=date.fromisoformat(until) if until else None,
        amount=amount,
        least_packs=least,
    )


PACK = ListedPack(
    key="1",
    label="tube 310 ml",
    content=Fraction(31, 100),
    content_text="0.31",
    supplier="Quay Tiles",
    prices=(
        dated("2025-01-01", 60_000),
        dated("2026-01-01", 65_000),
        dated("2026-01-01", 60_000, least=12),
        dated("2026-06-01", 70_000),
        dated("2026-02-01", 10_000, until="2026-02-28"),
    ),
)
LIST = PriceList(
    currency="GBP",
    materials=(
        ListedMaterial(
            code="SL-1", name="=Sealant", kind="sealant", facts={}, packs=(PACK,)
        ),
        ListedMaterial(code="SL-2", name="Bare", kind="sealant", facts={}),
        ListedMaterial(
            code="SL-3",
            name="Unpriced",
            kind="sealant",
            facts={},
            packs=(replace(PACK, prices=()),),
        ),
    ),
)


def test_prices_that_are_over_or_replaced_stay_at_home() -> None:
    found = prices_from(PACK, TODAY)

    assert [(price.valid_from.isoformat(), price.least_packs) for price in found] == [
        ("2026-01-01", 1), ("2026-01-01", 12), ("2026-06-01", 1),
    ]  # fmt: skip


def test_every_product_has_a_row_and_numbers_are_numbers() -> None:
    head, *rows = price_table(LIST, TODAY)
    cells = [dict(zip(COLUMNS, row, strict=True)) for row in rows]

    assert head == list(COLUMNS)
    assert [row["code"] for row in cells] == ["SL-1", "SL-1", "SL-1", "SL-2", "SL-3"]
    assert cells[0]["price"] == Decimal("6.50")
    assert cells[0]["holds"] == Decimal("0.31")
    assert (cells[3]["pack"], cells[4]["price"]) == (None, None)


def test_a_table_handed_out_and_brought_back_changes_nothing() -> None:
    rows = read_rows(comma.read(comma.written(price_table(LIST, TODAY))))

    found = compared(rows, LIST, system="metric", today=TODAY)

    assert [one.verdict for one in found] == ["same"] * 5

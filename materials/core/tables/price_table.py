"""The price list as rows of a table: what it holds from a day on."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from fractions import Fraction

from materials.core.amounts import from_units
from materials.core.pricelist import (
    DatedPrice,
    ListedMaterial,
    ListedPack,
    PriceList,
    price_on,
)
from materials.core.quantities import decimal_text
from materials.core.tables.cells import Cell, Row
from materials.core.tables.price_columns import COLUMNS, facts_text


def price_table(prices: PriceList, today: date) -> Iterator[Row]:
    """Return the columns' names, then a row for each price that holds or is to come.

    A product without a pack, or a pack without a price, has a row all the same.
    """
    yield list(COLUMNS)
    for material in prices.materials:
        for pack in material.packs:
            standing = prices_from(pack, today)
            for price in standing:
                yield _row(prices.currency, material, pack, price)
            if not standing:
                yield _row(prices.currency, material, pack, None)
        if not material.packs:
            yield _row(prices.currency, material, None, None)


def prices_from(pack: ListedPack, today: date) -> list[DatedPrice]:
    """Return the prices of a pack that hold on a day or begin later, by their start."""
    breaks = {price.least_packs for price in pack.prices}
    now = [
        price
        for least in breaks
        if (price := price_on(pack, today, packs=least)) is not None
        and price.least_packs == least
    ]
    later = [price for price in pack.prices if price.valid_from > today]
    return sorted(now + later, key=lambda price: (price.valid_from, price.least_packs))


def _row(
    currency: str,
    material: ListedMaterial,
    pack: ListedPack | None,
    price: DatedPrice | None,
) -> Row:
    cells: dict[str, Cell] = {
        "code": material.code,
        "name": material.name,
        "kind": material.kind,
        "facts": facts_text(material.facts_typed),
    }
    if pack is not None:
        cells |= {
            "merchant": pack.supplier,
            "merchant_code": pack.supplier_code,
            "pack": pack.label,
            "holds": _number(pack.content),
            "lead_days": pack.lead_days,
            "special_order": "yes" if pack.special_order else "no",
            "returnable": "yes" if pack.returnable else "no",
        }
    if price is not None:
        cells |= {
            "price": from_units(price.amount, currency).amount,
            "currency": currency,
            "valid_from": price.valid_from,
            "valid_until": price.valid_until,
            "least_packs": price.least_packs,
            "origin": price.origin,
        }
    return [cells.get(name) for name in COLUMNS]


def _number(content: Fraction) -> Decimal:
    return Decimal(decimal_text(content, places=6))

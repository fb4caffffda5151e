"""The price list that a table is held against, row by row."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field
from datetime import date

from materials.core.pricelist import DatedPrice, ListedPack, PriceList

PackKey = tuple[str, str, str]
"""Code of the product, merchant and label, as they are compared."""


@dataclass(slots=True, kw_only=True)
class Product:
    """A product with its facts as typed, and its packs by what tells them apart."""

    code: str
    name: str
    kind: str
    typed: dict[str, object]
    packs: dict[PackKey, ListedPack] = field(default_factory=dict)


@dataclass(slots=True, kw_only=True)
class Standing:
    """The price list as it stands, and as the rows so far would leave it.

    `entered` holds the prices of rows so far: the line, and the amount in 1/10,000.
    """

    currency: str
    system: str
    today: date
    retired: Collection[str]
    products: dict[str, Product]
    by_supplier_code: dict[tuple[str, str], list[tuple[str, PackKey]]]
    entered: dict[tuple[PackKey, date, int], tuple[int, int]] = field(
        default_factory=dict
    )

    def keep(
        self,
        line: int,
        product: Product,
        pack: ListedPack | None,
        price: DatedPrice | None,
    ) -> None:
        """Let the rows that follow see what this one would leave."""
        self.products[product.code.casefold()] = product
        if pack is None:
            return
        key = pack_key(product.code, pack.supplier, pack.label)
        product.packs.setdefault(key, pack)
        if price is not None:
            self.entered[key, price.valid_from, price.least_packs] = (
                line,
                price.amount,
            )


def standing_of(
    prices: PriceList, system: str, today: date, retired: Collection[str]
) -> Standing:
    """Return the state that a table's first row meets; `retired` are codes."""
    products: dict[str, Product] = {}
    known: dict[tuple[str, str], list[tuple[str, PackKey]]] = {}
    for material in prices.materials:
        product = Product(
            code=material.code,
            name=material.name,
            kind=material.kind,
            typed=dict(material.facts_typed),
        )
        products[material.code.casefold()] = product
        for pack in material.packs:
            key = pack_key(material.code, pack.supplier, pack.label)
            product.packs[key] = pack
            if pack.supplier_code:
                theirs = (pack.supplier.casefold(), pack.supplier_code.casefold())
                known.setdefault(theirs, []).append((material.code, key))
    return Standing(
        currency=prices.currency,
        system=system,
        today=today,
        retired={code.casefold() for code in retired},
        products=products,
        by_supplier_code=known,
    )


def pack_key(code: str, supplier: str, label: str) -> PackKey:
    """Return what tells packs apart, whatever letters they are typed in."""
    return code.casefold(), supplier.casefold(), label.casefold()

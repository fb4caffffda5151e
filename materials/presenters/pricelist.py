"""Rows as pages show them; no sums in templates."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from moneyed import Money

from materials.core.kinds import kind_of
from materials.core.quantities import decimal_text
from materials.models import Material, Pack, Price
from materials.presenters.words import core_words
from materials.queries.pricelist import standing_price


@dataclass(frozen=True, slots=True, kw_only=True)
class PackRow:
    """One pack with the price of the day and those before."""

    pk: int
    label: str
    holds: str
    supplier: str
    supplier_code: str
    price: Money | None
    since: date | None
    origin: str
    notes: tuple[str, ...]
    history: tuple[Price, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialRow:
    """One product on the list."""

    pk: int
    code: str
    name: str
    kind: str
    packs: tuple[PackRow, ...]


def material_row(material: Material, on: date) -> MaterialRow:
    """Return a product's row; packs and prices must be fetched already."""
    return MaterialRow(
        pk=material.pk,
        code=material.code,
        name=material.name,
        kind=core_words(kind_of(material.kind).label),
        packs=pack_rows(material, on),
    )


def pack_rows(material: Material, on: date) -> tuple[PackRow, ...]:
    """Return a product's packs as rows."""
    return tuple(_pack_row(pack, material.kind, on) for pack in material.packs.all())


def _pack_row(pack: Pack, kind: str, on: date) -> PackRow:
    price = standing_price(pack, on)
    return PackRow(
        pk=pack.pk,
        label=pack.label,
        holds=f"{decimal_text(pack.content, places=3)} {kind_of(kind).unit}",
        supplier=pack.supplier.name,
        supplier_code=pack.supplier_code,
        price=price.amount if price else None,
        since=price.valid_from if price else None,
        origin=price.origin if price else "",
        notes=(),
        history=tuple(pack.prices.all()),
    )

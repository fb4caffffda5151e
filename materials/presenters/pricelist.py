"""Rows as pages show them; no sums in templates."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import lru_cache

from django.urls import reverse
from moneyed import Money

from materials.core.amounts import from_units, to_units
from materials.core.kinds import KINDS, kind_of
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
class PackListed:
    """One pack on the list of products, with the price of the day."""

    label: str
    supplier: str
    price: Money | None


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialRow:
    """One product on the list."""

    pk: int
    code: str
    name: str
    kind: str
    packs: tuple[PackListed, ...]


def material_row(material: Material) -> MaterialRow:
    """Return a product's row, as `materials_listed` fetched it with its packs."""
    return MaterialRow(
        pk=material.pk,
        code=material.code,
        name=material.name,
        kind=core_words(kind_of(material.kind).label),
        packs=tuple(_pack_listed(pack) for pack in material.packs.all()),
    )


def _pack_listed(pack: Pack) -> PackListed:
    amount, currency = (getattr(pack, f"{word}_now") for word in ("amount", "currency"))
    price = None
    if amount is not None:
        # As many decimals as the amount has, as the column's own field gives it.
        price = from_units(to_units(Money(amount, currency)), currency)
    return PackListed(label=pack.label, supplier=pack.supplier.name, price=price)


@lru_cache(maxsize=8)
def kind_links(language: str | None) -> tuple[tuple[str, str], ...]:
    """Return where a product of each kind is added, and the kind's word; kept."""
    del language
    return tuple(
        (reverse("add-product", args=[kind.key]), core_words(kind.label))
        for kind in KINDS
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

"""Rows as pages show them; no sums in templates."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache

from django.urls import reverse
from moneyed import Money

from materials.core.kinds import KINDS, kind_of
from materials.core.quantities import decimal_text
from materials.models import Material, Pack, Price
from materials.presenters.words import core_words
from materials.queries.pricelist import MaterialListed, standing_price


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


def products_shown(
    rows: Iterable[MaterialListed], language: str | None
) -> list[MaterialListed]:
    """Return products as a page shows them, the kind by its word."""
    words = kind_words(language)
    return [replace(row, kind=words.get(row.kind, row.kind)) for row in rows]


@lru_cache(maxsize=8)
def kind_words(language: str | None) -> dict[str, str]:
    """Return the word of each kind of product in a language, by its key; kept."""
    del language
    return {kind.key: core_words(kind.label) for kind in KINDS}


@lru_cache(maxsize=8)
def kind_links(language: str | None) -> tuple[tuple[str, str], ...]:
    """Return where a product of each kind is added, and the kind's word; kept."""
    return tuple(
        (reverse("add-product", args=[key]), word)
        for key, word in kind_words(language).items()
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

"""Reads of the lowest app: named conditions, current prices on a date."""

from __future__ import annotations

from materials.queries.people import business, people
from materials.queries.pricelist import (
    material_page,
    material_with_packs,
    materials_listed,
    stored_price_list,
    suppliers,
)

__all__ = [
    "business",
    "material_page",
    "material_with_packs",
    "materials_listed",
    "people",
    "stored_price_list",
    "suppliers",
]

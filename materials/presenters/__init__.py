"""Rows as pages show them; no sums in templates.

pricelist.py   products with their packs and prices
rack.py        pieces on the rack, to one scale
"""

from __future__ import annotations

from materials.presenters.pricelist import material_row, pack_rows

__all__ = ["material_row", "pack_rows"]

"""Rows as pages show them; no sums in templates.

words.py       money, shares and the core's labels as the language writes them
pricelist.py   products with their packs and prices
price_sheet.py a table of prices that was brought in, row by row
rack.py        pieces on the rack, to one scale
"""

from __future__ import annotations

from materials.presenters.price_sheet import sheet_shown
from materials.presenters.pricelist import (
    kind_links,
    kind_words,
    pack_rows,
    products_shown,
)
from materials.presenters.words import core_words, money_words, percent_words, query_of

__all__ = [
    "core_words",
    "kind_links",
    "kind_words",
    "money_words",
    "pack_rows",
    "percent_words",
    "products_shown",
    "query_of",
    "sheet_shown",
]

"""Reads of the lowest app: named conditions, current prices on a date."""

from __future__ import annotations

from materials.queries.files import file_for
from materials.queries.outbox import (
    NEEDS_A_PERSON,
    STILL_OWED,
    mails_about,
    outgoing_due,
    outgoing_for,
    outgoing_owed,
    outgoing_page,
    outgoing_undecided,
)
from materials.queries.people import business, people
from materials.queries.pricelist import (
    material_page,
    material_with_packs,
    stored_price_list,
    suppliers,
)
from materials.queries.rack import left_the_rack, rack, rack_page
from materials.queries.searches import searches_of, searches_under_way, with_plans

__all__ = [
    "NEEDS_A_PERSON",
    "STILL_OWED",
    "business",
    "file_for",
    "left_the_rack",
    "mails_about",
    "material_page",
    "material_with_packs",
    "outgoing_due",
    "outgoing_for",
    "outgoing_owed",
    "outgoing_page",
    "outgoing_undecided",
    "people",
    "rack",
    "rack_page",
    "searches_of",
    "searches_under_way",
    "stored_price_list",
    "suppliers",
    "with_plans",
]

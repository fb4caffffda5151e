"""Rows of the lowest app: the business and its people, the price list, the rack.

Split by topic: `business`, `people`, `pricelist`, `rack`, `keeping` (what guards all
others: client-made keys, audit trail, stored files), `outbox` (mail and papers owed),
`searches` (deeper searches for plans), `sign_ins` (guesses made in vain, sign-ins that
are open).
"""

from __future__ import annotations

from materials.models.business import Business
from materials.models.keeping import AuditEntry, AuditHead, RequestKey, StoredFile
from materials.models.outbox import Outgoing
from materials.models.people import Person
from materials.models.pricelist import Material, Pack, Price, Supplier
from materials.models.rack import Offcut
from materials.models.searches import BoardSearch
from materials.models.sign_ins import Guesses, SignIn

__all__ = [
    "AuditEntry",
    "AuditHead",
    "BoardSearch",
    "Business",
    "Guesses",
    "Material",
    "Offcut",
    "Outgoing",
    "Pack",
    "Person",
    "Price",
    "RequestKey",
    "SignIn",
    "StoredFile",
    "Supplier",
]

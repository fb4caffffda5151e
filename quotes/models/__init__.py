"""Rows of the middle app: clients, visits, build-ups, quotes and their acceptance.

Split by topic: `parties` (clients and sites), `visits` (what was measured),
`choices` (build-ups and the owner's last word), `rates` (wages, overhead, markup),
`offers` (quotes, frozen revisions, private links, acceptance).
"""

from __future__ import annotations

from quotes.models.choices import Allowance, BuildUp, HandLine, Overrule
from quotes.models.offers import Acceptance, LinkLook, OfferLink, Quote, Revision
from quotes.models.parties import Client, Site
from quotes.models.rates import OperationRate, Rates
from quotes.models.visits import Opening, Region, Space, Surface, Visit, VisitPhoto

__all__ = [
    "Acceptance",
    "Allowance",
    "BuildUp",
    "Client",
    "HandLine",
    "LinkLook",
    "OfferLink",
    "Opening",
    "OperationRate",
    "Overrule",
    "Quote",
    "Rates",
    "Region",
    "Revision",
    "Site",
    "Space",
    "Surface",
    "Visit",
    "VisitPhoto",
]

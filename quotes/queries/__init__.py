"""Reads of the middle app, by topic: visits as files, quotes, links."""

from __future__ import annotations

from quotes.queries.estimating import (
    estimate_of,
    stored_rates,
    visit_record,
)
from quotes.queries.offers import (
    accepted_revision,
    ended_link,
    link_of_token,
    open_offers,
    quote_for,
    quote_page,
    revision_for,
    token_digest,
)
from quotes.queries.visit_files import visit_file
from quotes.queries.visits import (
    build_up_templates,
    client_page,
    clients,
    newest_visits,
    space_for,
    surface_for,
    visit_for,
    visit_page,
)

__all__ = [
    "accepted_revision",
    "build_up_templates",
    "client_page",
    "clients",
    "ended_link",
    "estimate_of",
    "link_of_token",
    "newest_visits",
    "open_offers",
    "quote_for",
    "quote_page",
    "revision_for",
    "space_for",
    "stored_rates",
    "surface_for",
    "token_digest",
    "visit_file",
    "visit_for",
    "visit_page",
    "visit_record",
]

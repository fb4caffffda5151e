"""Reads of quotes, revisions and private links."""

from __future__ import annotations

import hashlib
from datetime import datetime

from django.core.paginator import Page, Paginator
from django.db.models import Prefetch, QuerySet

from materials.models import Person
from quotes.models import OfferLink, Quote, Revision

PAGE = 20


def quotes_seen_by(person: Person) -> QuerySet[Quote]:
    """Return the quotes a person may open: prices of sale are not for setters."""
    if not person.is_active or not person.sees_prices:
        return Quote.objects.none()
    return Quote.objects.select_related("visit__site__client").prefetch_related(
        Prefetch("revisions", Revision.objects.defer("document", "inputs"))
    )


def quote_page(*, person: Person, state: str, number: str) -> Page[Quote]:
    """Return one page of quotes, newest first: three queries, whatever the size."""
    rows = _listed(quotes_seen_by(person)).order_by("-pk")
    if state in Revision.State.values:
        rows = rows.filter(revisions__state=state).distinct()
    return Paginator(rows, PAGE).get_page(number)


def open_quotes(person: Person) -> QuerySet[Quote]:
    """Return the quotes that wait for the client."""
    rows = _listed(quotes_seen_by(person))
    return rows.filter(revisions__state=Revision.State.OFFERED)


def _listed(rows: QuerySet[Quote]) -> QuerySet[Quote]:
    """Return quotes with what a row of a list shows of them and their revisions."""
    shown = Revision.objects.only(
        "quote_id", "letter", "state", "gross", "gross_currency", "priced_on",
        "holds_until",
    )  # fmt: skip
    return (
        rows.only("number", "title", "visit__site__client__name")
        .prefetch_related(None)
        .prefetch_related(Prefetch("revisions", shown))
    )


def quote_for(person: Person, number: str) -> Quote | None:
    """Return a quote the person may open, or None: foreign and missing are alike."""
    return quotes_seen_by(person).filter(number=number).first()


def revision_for(person: Person, *, number: str, letter: str) -> Revision | None:
    """Return a revision of a quote the person may open, or None."""
    return (
        Revision.objects.filter(
            quote__in=quotes_seen_by(person), quote__number=number, letter=letter
        )
        .select_related("quote__visit__site__client", "pdf")
        .first()
    )


def accepted_revision(quote: Quote) -> Revision | None:
    """Return the revision of a quote that the client agreed to, or None."""
    return quote.revisions.filter(state=Revision.State.ACCEPTED).first()


def token_digest(token: str) -> str:
    """Return what is kept of a private link's token."""
    return hashlib.sha256(token.encode()).hexdigest()


def link_of_token(token: str, *, at: datetime) -> OfferLink | None:
    """Return the live link of a token; unknown, ended and revoked answer alike."""
    return (
        OfferLink.objects.filter(
            token_digest=token_digest(token), revoked_at=None, expires_at__gt=at
        )
        .select_related("revision__quote__visit__site__client", "revision__pdf")
        .first()
    )


def ended_link(token: str) -> OfferLink | None:
    """Return the link of a token whether or not it still opens anything."""
    return OfferLink.objects.filter(token_digest=token_digest(token)).first()

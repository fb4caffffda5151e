"""Reads of quotes, revisions and private links."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.core.paginator import Page
from django.db.models import Prefetch, QuerySet
from moneyed import Money

from materials.core import amounts
from materials.models import Person
from materials.queries.paging import page_of
from quotes.models import OfferLink, Quote, Revision

PAGE = 20


def quotes_seen_by(person: Person) -> QuerySet[Quote]:
    """Return the quotes a person may open: prices of sale are not for setters."""
    if not person.is_active or not person.sees_prices:
        return Quote.objects.none()
    return Quote.objects.select_related("visit__site__client").prefetch_related(
        Prefetch("revisions", Revision.objects.defer("document", "inputs"))
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteListed:
    """One quote on a list, and the revision that speaks for it there."""

    number: str
    letter: str
    title: str
    client: str
    state: str
    gross: Money
    priced_on: date
    holds_until: date | None


SPOKEN = (
    "letter", "state", "gross", "gross_currency", "priced_on", "holds_until"
)  # fmt: skip


def quote_page(*, person: Person, state: str, number: str) -> Page[QuoteListed]:
    """Return one page of quotes, newest first: three queries, whatever the size.

    An accepted revision speaks for its quote, else the newest does.
    """
    rows = quotes_seen_by(person).select_related(None).prefetch_related(None)
    if state in Revision.State.values:
        rows = rows.filter(pk__in=Revision.objects.filter(state=state).values("quote"))
    return page_of(rows.order_by("-pk"), PAGE, number, _all_listed)


def _all_listed(rows: QuerySet[Quote]) -> list[QuoteListed]:
    """Return quotes as a list shows them: two queries."""
    found = list(rows.values_list("pk", "number", "title", "visit__site__client__name"))
    spoken = _spoken_for([pk for pk, *_rest in found])
    return [
        _listed(spoken[pk], number=number, title=title, client=client)
        for pk, number, title, client in found
    ]


def _spoken_for(quotes: list[int]) -> dict[int, tuple[Any, ...]]:
    """Return what the revision that speaks for each quote says: one query."""
    rows = Revision.objects.filter(quote__in=quotes).order_by("pk")
    found: dict[int, tuple[Any, ...]] = {}
    for pk, *spoken in rows.values_list("quote_id", *SPOKEN):
        if pk not in found or found[pk][1] != Revision.State.ACCEPTED:
            found[pk] = tuple(spoken)
    return found


def _listed(
    spoken: tuple[Any, ...], *, number: str, title: str, client: str
) -> QuoteListed:
    letter, state, gross, code, priced_on, holds_until = spoken
    return QuoteListed(
        number=number,
        letter=letter,
        title=title,
        client=client,
        state=state,
        gross=amounts.from_units(amounts.units_of(gross), code),
        priced_on=priced_on,
        holds_until=holds_until,
    )


def open_offers(person: Person, *, most: int) -> list[QuoteListed]:
    """Return the newest quotes that wait for the client, as offered: one query."""
    if not person.is_active or not person.sees_prices:
        return []
    rows = Revision.objects.filter(state=Revision.State.OFFERED).order_by("-quote_id")
    named = rows.values_list(
        "quote__number", "quote__title", "quote__visit__site__client__name", *SPOKEN
    )
    return [
        _listed(tuple(spoken), number=number, title=title, client=client)
        for number, title, client, *spoken in named[:most]
    ]


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
        .select_related("revision__quote__visit__site__client", "revision__pdf", "look")
        .first()
    )


def ended_link(token: str) -> OfferLink | None:
    """Return the link of a token whether or not it still opens anything."""
    return OfferLink.objects.filter(token_digest=token_digest(token)).first()

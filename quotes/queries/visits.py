"""Reads of visits. `…_for` are the only ways a view gets a row."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.core.paginator import Page
from django.db.models import F, Q, QuerySet

from materials.models import Person
from materials.queries.paging import page_of
from quotes.models import BuildUp, Client, Space, Surface, Visit

PAGE = 20


def clients() -> QuerySet[Client]:
    """Return all clients by name."""
    return Client.objects.order_by("name", "pk")


@dataclass(frozen=True, slots=True, kw_only=True)
class ClientListed:
    """One client on a list, with the ids and titles of their visits."""

    name: str
    phone: str
    email: str
    visits: tuple[tuple[UUID, str], ...]


def client_page(*, number: str) -> Page[ClientListed]:
    """Return one page of clients by name: three queries, whatever the size."""
    return page_of(clients(), PAGE, number, _with_visits)


def _with_visits(rows: QuerySet[Client]) -> list[ClientListed]:
    """Return clients as a list shows them: two queries."""
    found = list(rows.values_list("pk", "name", "phone", "email"))
    visits: dict[int, list[tuple[UUID, str]]] = {pk: [] for pk, *_rest in found}
    held = Visit.objects.filter(site__client__in=list(visits))
    held = held.order_by("site", "-held_on", "-pk")
    for pk, uid, title in held.values_list("site__client", "uid", "title"):
        visits[pk].append((uid, title))
    return [
        ClientListed(name=name, phone=phone, email=email, visits=tuple(visits[pk]))
        for pk, name, phone, email in found
    ]


def visits_seen_by(person: Person) -> QuerySet[Visit]:
    """Return the visits a person may open: everybody in the business sees all."""
    if not person.is_active:
        return Visit.objects.none()
    return Visit.objects.select_related("site__client", "made_by")


def visits_listed(person: Person) -> QuerySet[Visit]:
    """Return visits with what a row of a list shows, newest first."""
    rows = visits_seen_by(person).select_related(None).select_related("site__client")
    rows = rows.only("uid", "title", "held_on", "site__client__name")
    return rows.order_by("-held_on", "-pk")


def newest_visits(person: Person, *, most: int) -> QuerySet[Any, Any]:
    """Return the newest visits as short rows: one query."""
    rows = visits_listed(person).select_related(None).defer(None)
    named = rows.annotate(client=F("site__client__name"))
    return named.values("uid", "title", "held_on", "client")[:most]


def visit_page(*, person: Person, words: str, number: str) -> Page[Visit]:
    """Return one page of visits, newest first: two queries, whatever the size."""
    rows = visits_listed(person)
    for word in words.split()[:5]:
        client = Q(site__client__name__icontains=word)
        rows = rows.filter(Q(title__icontains=word) | client)
    return page_of(rows, PAGE, number)


def visit_for(person: Person, uid: UUID | str) -> Visit | None:
    """Return a visit the person may open, or None: foreign and missing are alike."""
    return visits_seen_by(person).filter(uid=uid).first()


def space_for(person: Person, uid: UUID | str) -> Space | None:
    """Return a space of a visit the person may open, or None."""
    return (
        Space.objects.filter(uid=uid, visit__in=visits_seen_by(person))
        .select_related("visit__site__client")
        .first()
    )


def surface_for(person: Person, uid: UUID | str) -> Surface | None:
    """Return a surface of a visit the person may open, or None."""
    return (
        Surface.objects.filter(uid=uid, space__visit__in=visits_seen_by(person))
        .select_related("space__visit__site__client")
        .prefetch_related("openings", "regions")
        .first()
    )


def build_up_templates() -> QuerySet[BuildUp]:
    """Return the business's own build-ups."""
    return BuildUp.objects.filter(visit=None).order_by("name")

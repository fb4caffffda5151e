"""Reads of visits. `…_for` are the only ways a view gets a row."""

from __future__ import annotations

from uuid import UUID

from django.core.paginator import Page, Paginator
from django.db.models import Prefetch, Q, QuerySet

from materials.models import Person
from quotes.models import BuildUp, Client, Site, Space, Surface, Visit

PAGE = 20


def clients() -> QuerySet[Client]:
    """Return all clients by name."""
    return Client.objects.order_by("name", "pk")


def clients_with_visits() -> QuerySet[Client]:
    """Return all clients by name, their visits' titles fetched with them."""
    visits = Visit.objects.only("uid", "title", "site_id")
    sites = Site.objects.only("client_id").prefetch_related(Prefetch("visits", visits))
    return clients().prefetch_related(Prefetch("sites", sites))


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


def visit_page(*, person: Person, words: str, number: str) -> Page[Visit]:
    """Return one page of visits, newest first: two queries, whatever the size."""
    rows = visits_listed(person)
    for word in words.split()[:5]:
        client = Q(site__client__name__icontains=word)
        rows = rows.filter(Q(title__icontains=word) | client)
    return Paginator(rows, PAGE).get_page(number)


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

"""Reads of visits. `…_for` are the only ways a view gets a row."""

from __future__ import annotations

from uuid import UUID

from django.core.paginator import Page, Paginator
from django.db.models import QuerySet

from materials.models import Person
from quotes.models import BuildUp, Client, Space, Surface, Visit

PAGE = 30


def clients() -> QuerySet[Client]:
    """Return all clients by name."""
    return Client.objects.order_by("name", "pk")


def visits_seen_by(person: Person) -> QuerySet[Visit]:
    """Return the visits a person may open: everybody in the business sees all."""
    if not person.is_active:
        return Visit.objects.none()
    return Visit.objects.select_related("site__client", "made_by")


def visit_page(*, person: Person, words: str, number: str) -> Page[Visit]:
    """Return one page of visits, newest first: two queries, whatever the size."""
    rows = visits_seen_by(person)
    for word in words.split()[:5]:
        rows = rows.filter(title__icontains=word) | rows.filter(
            site__client__name__icontains=word
        )
    return Paginator(rows.order_by("-held_on", "-pk"), PAGE).get_page(number)


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

"""Reads of the outbox: what is due, what needs a person, what was sent lately."""

from __future__ import annotations

from datetime import datetime

from django.core.paginator import Page, Paginator
from django.db.models import QuerySet

from materials.models import Outgoing, Person

AT_ONCE = 50
PAGE = 20
NEEDS_A_PERSON = (Outgoing.State.UNKNOWN, Outgoing.State.FAILED)
STILL_OWED = (Outgoing.State.WAITING, Outgoing.State.WORKING)


def outgoing_due(*, at: datetime) -> list[int]:
    """Return the keys of rows to work on, longest due first: fifty at most."""
    rows = Outgoing.objects.filter(state__in=STILL_OWED, due_at__lte=at)
    return list(rows.order_by("due_at", "pk").values_list("pk", flat=True)[:AT_ONCE])


def outgoing_seen_by(person: Person) -> QuerySet[Outgoing]:
    """Return the rows a person may open: clients' mail is not for setters."""
    if not person.is_active or not person.sees_prices:
        return Outgoing.objects.none()
    return Outgoing.objects.defer("body", "seed")


def outgoing_for(person: Person, uid: str) -> Outgoing | None:
    """Return a row the person may open, or None: foreign and missing are alike."""
    return outgoing_seen_by(person).filter(uid=uid).first()


def outgoing_undecided(person: Person) -> QuerySet[Outgoing]:
    """Return what cannot go on without a person, oldest first."""
    return outgoing_seen_by(person).filter(state__in=NEEDS_A_PERSON)


def outgoing_owed(person: Person) -> QuerySet[Outgoing]:
    """Return what waits or is being worked on, oldest first."""
    return outgoing_seen_by(person).filter(state__in=STILL_OWED)


def outgoing_page(*, person: Person, number: str) -> Page[Outgoing]:
    """Return one page of letters that are settled, newest first.

    Papers that were made are read where they belong, and are not listed here.
    """
    over = (Outgoing.State.DONE, Outgoing.State.GIVEN_UP)
    rows = outgoing_seen_by(person).filter(state__in=over, kind=Outgoing.Kind.MAIL)
    return Paginator(rows.order_by("-pk"), PAGE).get_page(number)


def mails_about(person: Person, *, paper: str) -> QuerySet[Outgoing]:
    """Return the letters that enclose a paper, newest first."""
    rows = outgoing_seen_by(person).filter(paper=paper, kind=Outgoing.Kind.MAIL)
    return rows.order_by("-pk")

"""Offers that end of themselves: their time runs out, or a new one replaces them."""

from __future__ import annotations

from datetime import date

from django.db import transaction
from django.db.models import QuerySet

from materials.models import Person
from materials.services import audit
from quotes.models import Revision


@transaction.atomic
def lapse_offers(*, today: date) -> int:
    """Mark every offer whose time has run out; return how many."""
    return move_on(
        Revision.objects.filter(state=Revision.State.OFFERED, holds_until__lt=today),
        Revision.State.LAPSED,
        None,
    )


def move_on(offers: QuerySet[Revision], state: str, person: Person | None) -> int:
    """Give offers another state, each with its step in the trail; return how many."""
    rows = list(offers.select_related("quote").defer("document", "inputs"))
    for row in rows:
        row.state = state
        row.save(update_fields=["state"])
        audit(
            action=f"{state} quote",
            subject=f"quote {row.quote.number} {row.letter}",
            person=person,
            kind="person" if person is not None else "program",
        )
    return len(rows)

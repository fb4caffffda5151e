"""Deeper searches for board plans: owed once a problem, done by whoever is free."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime

from django.db import transaction
from django.utils.translation import gettext as _

from materials.core.plans.board_records import digest_of
from materials.core.plans.board_search import searched
from materials.models import BoardSearch, Outgoing, Person
from materials.queries.searches import UNDER_WAY, search_key
from materials.services.keeping import audit
from materials.services.outbox import ring


@transaction.atomic
def owe_searches(
    *, problems: Iterable[str], about: str, person: Person, at: datetime
) -> int:
    """Promise a search for each problem that nobody looks for; ring for each.

    Asked again while it goes on it is the same promise, so nothing is done twice; one
    that ended without an answer is begun anew. Returns how many were begun.
    """
    begun = 0
    for problem in sorted(set(problems)):
        row, _made = BoardSearch.objects.get_or_create(
            digest=digest_of(problem), defaults={"problem": problem, "asked_at": at}
        )
        if row.record:
            continue
        owed, made = Outgoing.objects.get_or_create(
            key=search_key(row.digest),
            defaults={
                "kind": Outgoing.Kind.SEARCH,
                "paper": f"boards:{row.pk}",
                "about": about[:60],
                "title": _("A better cutting plan"),
                "due_at": at,
                "made_at": at,
                "made_by": person,
            },
        )
        if made or _begun_anew(owed.pk, person=person, at=at):
            ring(owed)
            begun += 1
    return begun


def _begun_anew(pk: int, *, person: Person, at: datetime) -> bool:
    """Let a search that found no answer wait again; False while it goes on."""
    row = Outgoing.objects.select_for_update(of=("self",)).get(pk=pk)
    if row.state in UNDER_WAY:
        return False
    audit(
        action="look again",
        subject=f"search {row.uid}",
        person=person,
        facts={"about": row.about, "state": row.state, "why": row.why},
    )
    row.state, row.attempts, row.unsure = Outgoing.State.WAITING, 0, 0
    row.why, row.due_at, row.settled_at = "", at, None
    row.save()
    return True


def run_search(paper: str) -> None:
    """Search for the problem an outbox row names, unless that was done already.

    The first end stands: equal problems have equal ends, whoever comes first.
    """
    row = BoardSearch.objects.get(pk=int(paper.partition(":")[2]))
    if row.record:
        return
    record, before, after = searched(row.problem)
    BoardSearch.objects.filter(pk=row.pk, record="").update(
        record=record, before=before, after=after, ended_at=datetime.now(UTC)
    )

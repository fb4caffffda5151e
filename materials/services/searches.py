"""Deeper searches for board plans: owed once a problem, done by whoever is free."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime

from django.db import transaction
from django.utils.translation import gettext as _

from materials.core.plans.board_records import digest_of
from materials.core.plans.board_search import searched
from materials.models import BoardSearch, Outgoing, Person
from materials.services.outbox import ring


@transaction.atomic
def owe_searches(
    *, problems: Iterable[str], about: str, person: Person, at: datetime
) -> int:
    """Promise a search for each problem that nobody asked for yet; ring for each.

    Asked again it is the same promise, so nothing is done twice. Returns how many of
    the problems are new.
    """
    new = 0
    for problem in sorted(set(problems)):
        row, made = BoardSearch.objects.get_or_create(
            digest=digest_of(problem), defaults={"problem": problem, "asked_at": at}
        )
        if not made:
            continue
        new += 1
        owed = Outgoing.objects.create(
            key=f"search:{row.digest}",
            kind=Outgoing.Kind.SEARCH,
            paper=f"boards:{row.pk}",
            about=about[:60],
            title=_("A better cutting plan"),
            due_at=at,
            made_at=at,
            made_by=person,
        )
        ring(owed)
    return new


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

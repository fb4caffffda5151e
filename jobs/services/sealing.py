"""Seals for a business that was opened before there were seals."""

from __future__ import annotations

from typing import Any

from django.db import connection, transaction
from django.db.migrations.executor import MigrationExecutor

from jobs.models import BudgetLine, Invoice
from materials.core import amounts
from materials.models import AuditEntry, Offcut
from materials.queries.seals import frozen_rows, seal_of, sealed_guards
from materials.services import audit
from quotes.models import Revision

AT_ONCE = 200
BY_HAND = "offcut entered by hand"
PROGRAM: dict[str, Any] = {"person": None, "kind": "program"}


def seal_after_migration(using: str, **_given: Any) -> None:
    """Seal what stands, once the schema is the present one."""
    if using == connection.alias and _is_current():
        seal_what_stood()
        seal_pieces_by_hand()


def _is_current() -> bool:
    executor = MigrationExecutor(connection)
    return not executor.migration_plan(executor.loader.graph.leaf_nodes())


@transaction.atomic
def seal_what_stood() -> int:
    """Put rows from before seals into the trail, once; return how many.

    A trail that has a seal is left alone: a row without one was then put in behind
    the program's back, and must be found.
    """
    if AuditEntry.objects.filter(facts__has_key="seals").exists():
        return 0
    count = 0
    for guard in sealed_guards():
        pks = frozen_rows(guard)
        for start in range(0, len(pks), AT_ONCE):
            seal = seal_of(guard, pks[start : start + AT_ONCE])
            audit(
                action="seal what stood",
                subject=guard.table,
                facts={"seals": [seal]},
                **PROGRAM,
            )
        count += len(pks)
    if count:
        _papers_and_states()
    return count


@transaction.atomic
def seal_pieces_by_hand() -> int:
    """Seal pieces whose step was written before such steps sealed; return how many.

    The step names the piece and its money; a piece that no step names is left to be
    found, and so is one that by now carries other money.
    """
    steps = AuditEntry.objects.filter(action=BY_HAND).exclude(facts__has_key="seals")
    facts_of = steps.values_list("facts", flat=True)
    said = {str(facts.get("offcut")): facts.get("money") for facts in facts_of}
    if not said:
        return 0
    done = {
        pk
        for facts in AuditEntry.objects.filter(
            action="seal what stood", subject=Offcut._meta.db_table
        ).values_list("facts", flat=True)
        for seal in facts.get("seals", ())
        for pk in seal["rows"]
    }
    rows = [
        row
        for row in Offcut.objects.filter(uid__in=list(said)).order_by("pk")
        if row.pk not in done and amounts.plain(row.cost_carried) == said[str(row.uid)]
    ]
    if rows:
        audit(
            action="seal what stood",
            subject=Offcut._meta.db_table,
            seals=rows,
            **PROGRAM,
        )
    return len(rows)


def _papers_and_states() -> None:
    """Note what earlier steps did not: papers, finished lines, offers that ended."""
    for row in Revision.objects.select_related("quote", "pdf").defer(
        "document", "inputs"
    ):
        subject = f"quote {row.quote.number} {row.letter}"
        if row.pdf is not None:
            _paper(subject, row.pdf.digest)
        if row.state in (Revision.State.LAPSED, Revision.State.REPLACED):
            audit(action=f"{row.state} quote", subject=subject, **PROGRAM)
    for bill in Invoice.objects.exclude(pdf=None).select_related("pdf"):
        if bill.pdf is not None:
            _paper(bill.number or "", bill.pdf.digest)
    for line in BudgetLine.objects.filter(finished=True).select_related("job"):
        audit(
            action="finish budget line",
            subject=line.job.number,
            facts={"line": line.key, "pk": line.pk, "finished": True},
            **PROGRAM,
        )


def _paper(subject: str, digest: str) -> None:
    audit(action="keep paper", subject=subject, facts={"paper": digest}, **PROGRAM)

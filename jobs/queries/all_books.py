"""All checks of the books in one report: what was looked at, what is wrong."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from jobs.models import Invoice, Payment, Purchase, Usage
from jobs.queries.books import invoice_findings, job_findings, number_findings
from jobs.queries.ledger_books import LISTED, entry_findings
from materials.core.chain import Finding
from materials.models import StoredFile
from materials.queries.books import (
    Trail,
    anchor_findings,
    database_findings,
    file_findings,
    read_trail,
    seal_findings,
)
from quotes.models import Revision
from quotes.queries.books import quote_findings


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """What was looked at and what was found; `seq` and `head` are the trail's end."""

    looked_at: tuple[str, ...]
    findings: tuple[Finding, ...]
    seq: int
    head: str


def check_books(*, anchor: Mapping[str, Any] | None = None) -> Report:
    """Return whether everything that is kept still holds together.

    `anchor` is where the trail stood at the last verified backup, kept outside the
    database. Cost: reads every kept row and file once.
    """
    trail = Trail()
    parts: Iterable[Iterable[Finding]] = (
        read_trail(trail, listed=LISTED),
        anchor_findings(anchor or {}),
        seal_findings(trail),
        file_findings(),
        quote_findings(trail),
        invoice_findings(trail),
        number_findings(trail),
        job_findings(trail),
        entry_findings(trail),
        database_findings(),
    )
    findings = tuple(finding for part in parts for finding in _to_the_end(part))
    counted = (
        (trail.count, "steps of the trail"),
        (trail.sealed, "sealed rows"),
        (StoredFile.objects.count(), "kept files"),
        (Revision.objects.exclude(digest="").count(), "frozen offers"),
        (Invoice.objects.exclude(state="draft").count(), "issued invoices"),
        (Payment.objects.count(), "payments"),
        (Purchase.objects.count(), "purchases"),
        (Usage.objects.count(), "entries of use"),
    )
    return Report(
        looked_at=tuple(f"{number:,} {what}" for number, what in counted),
        findings=findings,
        seq=trail.count,
        head=trail.head,
    )


def _to_the_end(part: Iterable[Finding]) -> Iterator[Finding]:
    """Give what a check finds; one that trips over what is stored has found that.

    Whoever writes into the database writes any shape they like, and the other checks
    must still have their say.
    """
    try:
        yield from part
    except (LookupError, TypeError, ValueError, AttributeError) as error:
        yield Finding(
            check="books",
            where=type(error).__name__,
            says="something stored has a shape that this program never writes",
        )

"""All checks of the books in one report: what was looked at, what is wrong."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from jobs.models import Invoice, Payment, Purchase, Usage
from jobs.queries.books import invoice_findings, job_findings, number_findings
from jobs.queries.ledger_books import LISTED, entry_findings
from materials.core.chain import Finding
from materials.models import StoredFile
from materials.queries.books import (
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
    trail, found = read_trail(listed=LISTED)
    parts: Iterable[Iterable[Finding]] = (
        found,
        anchor_findings(anchor or {}),
        seal_findings(trail),
        file_findings(),
        quote_findings(trail),
        invoice_findings(trail),
        number_findings(),
        job_findings(trail),
        entry_findings(trail),
        database_findings(),
    )
    findings = tuple(finding for part in parts for finding in part)
    counted = (
        (trail.count, "steps of the trail"),
        (sum(len(seal["rows"]) for seal in trail.seals), "sealed rows"),
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

"""Rivals at the same moment: numbers stay whole, nothing is billed or paid twice.

Runs on both databases: the test database of SQLite is a file, so that the rivals' own
connections meet on it.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from datetime import UTC, date, datetime
from fractions import Fraction

import pytest
from django.db import connection

from jobs import queries, services
from jobs.models import Invoice, Job, Payment, Series
from jobs.services import DraftEntry, PaymentEntry
from materials.core.errors import Refusal
from tests.service.jobs.booked import (
    BOOKED_AT,
    a_business,
    a_job,
    a_revision,
    ada,
    new_key,
    usd,
)

pytestmark = pytest.mark.django_db(transaction=True)

AT = datetime(2026, 6, 1, 15, 0, tzinfo=UTC)
RIVALS = 6


def at_once(act: Callable[[int], object]) -> list[object]:
    """Run an act in several threads at a barrier; a refusal is an outcome."""
    barrier = threading.Barrier(RIVALS)
    outcomes: list[object] = []

    def run(place: int) -> None:
        barrier.wait()
        try:
            outcomes.append(act(place))
        except Refusal as refusal:
            outcomes.append(refusal)
        finally:
            connection.close()

    threads = [threading.Thread(target=run, args=(place,)) for place in range(RIVALS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(outcomes) == RIVALS
    return outcomes


def draft(job: Job, kind: str, share: str | None = None) -> Invoice:
    entry = DraftEntry(kind=kind, share=Fraction(share) if share else None)
    return services.draft_invoice(job=job, entry=entry, person=ada(), key=new_key())


def test_rival_issues_of_many_jobs_leave_no_gap() -> None:
    person = ada()
    drafts = [draft(a_job(f"Q-020{place}"), "final") for place in range(RIVALS)]

    at_once(
        lambda place: services.issue_invoice(
            invoice=drafts[place], person=person, at=AT, key=new_key()
        )
    )

    numbers = list(Invoice.objects.order_by("number").values_list("number", flat=True))
    assert numbers == [f"I-2026-{place:04d}" for place in range(1, RIVALS + 1)]
    assert Series.objects.get(kind="invoice").last == RIVALS


def test_one_draft_issued_by_rivals_gets_one_number() -> None:
    person = ada()
    invoice = draft(a_job(), "final")

    at_once(
        lambda _place: services.issue_invoice(
            invoice=invoice, person=person, at=AT, key=new_key()
        )
    )

    assert Series.objects.get(kind="invoice").last == 1


def test_rival_final_drafts_of_one_job_end_in_one_final_account() -> None:
    person = ada()
    job = a_job()
    drafts = [draft(job, "final") for _ in range(RIVALS)]

    outcomes = at_once(
        lambda place: services.issue_invoice(
            invoice=drafts[place], person=person, at=AT, key=new_key()
        )
    )

    assert sum(isinstance(item, Invoice) for item in outcomes) == 1
    assert Invoice.objects.exclude(state="draft").count() == 1
    assert Series.objects.get(kind="invoice").last == 1


def test_one_key_pays_once_and_rival_payments_all_count() -> None:
    person = ada()
    invoice = services.issue_invoice(
        invoice=draft(a_job(), "final"), person=person, at=AT, key=new_key()
    )
    entry = PaymentEntry(amount=usd("100.00"), on=date(2026, 6, 2))
    one = new_key()

    at_once(
        lambda _place: services.record_payment(
            invoice=invoice, entry=entry, person=person, key=one
        )
    )
    at_once(
        lambda _place: services.record_payment(
            invoice=invoice, entry=entry, person=person, key=new_key()
        )
    )

    invoice.refresh_from_db()
    assert Payment.objects.count() == RIVALS + 1
    assert invoice.paid == usd("700.00")


def test_rival_credits_take_an_invoice_off_once() -> None:
    person = ada()
    invoice = services.issue_invoice(
        invoice=draft(a_job(), "final"), person=person, at=AT, key=new_key()
    )

    at_once(
        lambda _place: services.credit_invoice(
            invoice=invoice, reason="Agreed", person=person, at=AT, key=new_key()
        )
    )

    assert Invoice.objects.filter(kind="credit").count() == 1
    assert queries.standing_final(invoice.job) is None


def test_rivals_make_one_job_of_one_acceptance() -> None:
    a_business()
    person = ada()
    revision = a_revision()

    outcomes = at_once(
        lambda _place: services.make_job(
            revision=revision, person=person, at=BOOKED_AT, key=new_key()
        )
    )

    assert Job.objects.count() == 1
    assert len({getattr(item, "pk", None) for item in outcomes}) == 1

"""Invoices are drafted from the contract, numbered without gaps and never changed."""

from __future__ import annotations

from datetime import UTC, date, datetime
from fractions import Fraction

import pytest
from django.db import IntegrityError, transaction

from jobs import queries, services
from jobs.core.invoicing import NotInvoiceable, TaxKey
from jobs.models import Invoice, Job, Payment, Series
from jobs.services import DraftEntry, PaymentEntry, VariationEntry
from materials.core.errors import Refusal
from materials.models import AuditEntry
from materials.models.guarding import lowered
from tests.service.jobs.booked import BOOKED_AT, a_job, ada, new_key, usd

pytestmark = pytest.mark.django_db

ISSUED_AT = datetime(2026, 6, 1, 15, 0, tzinfo=UTC)


def draft(job: Job, kind: str, share: str | None = None) -> Invoice:
    entry = DraftEntry(kind=kind, share=Fraction(share) if share else None)
    return services.draft_invoice(job=job, entry=entry, person=ada(), key=new_key())


def issue(invoice: Invoice, at: datetime = ISSUED_AT) -> Invoice:
    return services.issue_invoice(invoice=invoice, person=ada(), at=at, key=new_key())


def billed(job: Job, kind: str, share: str | None = None) -> Invoice:
    return issue(draft(job, kind, share))


def pay(invoice: Invoice, amount: str, way: str = "transfer") -> Payment:
    return services.record_payment(
        invoice=invoice,
        entry=PaymentEntry(amount=usd(amount), on=date(2026, 6, 2), way=way),
        person=ada(),
        key=new_key(),
    )


def credit(invoice: Invoice, **wanted: str) -> Invoice:
    return services.credit_invoice(
        invoice=invoice,
        reason="Agreed",
        person=ada(),
        at=ISSUED_AT,
        key=new_key(),
        wanted={name.replace("_", "/"): usd(sum_) for name, sum_ in wanted.items()}
        or None,
    )


def test_a_draft_has_no_number_and_can_be_thrown_away() -> None:
    job = a_job()
    invoice = draft(job, "deposit", "0.3")

    assert invoice.number is None
    assert invoice.gross == usd("1824.32")
    services.discard_draft(invoice=invoice, person=ada())
    assert Invoice.objects.count() == 0
    assert not Series.objects.filter(kind="invoice").exists()


def test_deposit_stage_and_final_come_to_the_contract() -> None:
    job = a_job()
    first = billed(job, "deposit", "0.3")
    second = billed(job, "stage", "0.4")

    last = billed(job, "final")

    assert [first.number, second.number, last.number] == [
        "I-2026-0001",
        "I-2026-0002",
        "I-2026-0003",
    ]
    assert [first.type_code, second.type_code, last.type_code] == ["386", "326", "380"]
    assert (first.due, second.due, last.due) == (
        usd("1824.32"),
        usd("2432.43"),
        usd("1824.32"),
    )
    assert last.gross == usd("6081.07")
    stored = queries.issued_document(last)
    assert [item.number for item in stored.earlier] == [first.number, second.number]
    assert stored.references.quote == "Q-0147 A"
    assert last.due_on == date(2026, 6, 15)


def test_an_issued_invoice_stays_as_it_is() -> None:
    job = a_job()
    invoice = billed(job, "deposit", "0.3")

    for refuse in (
        lambda: services.discard_draft(invoice=invoice, person=ada()),
        lambda: services.refresh_draft(invoice=invoice),
    ):
        with pytest.raises(NotInvoiceable, match="stays as it is"):
            refuse()
    again = services.issue_invoice(
        invoice=invoice, person=ada(), at=ISSUED_AT, key=new_key()
    )
    assert again.number == invoice.number
    assert Series.objects.get(kind="invoice").last == 1


def test_a_document_changed_behind_the_program_s_back_is_found() -> None:
    invoice = billed(a_job(), "deposit", "0.3")
    changed = dict(invoice.document) | {"title": "Depositt"}
    with lowered():
        Invoice.objects.filter(pk=invoice.pk).update(document=changed)
    invoice.refresh_from_db()

    with pytest.raises(NotInvoiceable, match="backup"):
        queries.issued_document(invoice)


def test_a_transaction_that_fails_gives_its_number_back() -> None:
    job = a_job()
    invoice = draft(job, "deposit", "0.3")

    def issue_and_fail() -> None:
        with transaction.atomic():
            issue(invoice)
            raise RuntimeError("power cut")

    with pytest.raises(RuntimeError, match="power"):
        issue_and_fail()

    assert issue(draft(job, "stage", "0.2")).number == "I-2026-0001"


def test_dates_follow_numbers_when_the_clock_is_set_back() -> None:
    job = a_job()
    first = issue(draft(job, "deposit", "0.3"))

    second = issue(
        draft(job, "stage", "0.1"), at=datetime(2026, 5, 20, 12, 0, tzinfo=UTC)
    )

    assert first.issued_on == second.issued_on == date(2026, 6, 1)


def test_the_date_is_the_local_one() -> None:
    late = datetime(2026, 6, 2, 2, 30, tzinfo=UTC)

    invoice = issue(draft(a_job(), "deposit", "0.3"), at=late)

    assert invoice.issued_on == date(2026, 6, 1)


def test_a_draft_older_than_a_change_must_be_looked_at_again() -> None:
    job = a_job()
    invoice = draft(job, "final")
    billed(job, "deposit", "0.3")

    with pytest.raises(NotInvoiceable, match="work this draft out again"):
        issue(invoice)

    fresh = services.refresh_draft(invoice=invoice)
    assert issue(fresh).due == usd("4256.75")


def test_one_final_account_stands_at_a_time() -> None:
    job = a_job()
    final = billed(job, "final")

    with pytest.raises(NotInvoiceable, match="is out"):
        draft(job, "final")
    with pytest.raises(NotInvoiceable, match="is out"):
        draft(job, "deposit", "0.1")

    credit(final)
    assert billed(job, "final").due == usd("6081.07")


def test_payments_settle_in_parts() -> None:
    invoice = billed(a_job(), "deposit", "0.3")

    pay(invoice, "1000.00")
    invoice.refresh_from_db()
    assert (invoice.state, queries.still_open(invoice)) == (
        "part_settled",
        usd("824.32"),
    )

    pay(invoice, "824.32")
    invoice.refresh_from_db()
    assert (invoice.state, queries.still_open(invoice)) == ("settled", usd("0.00"))


def test_one_key_takes_one_payment() -> None:
    invoice, key = billed(a_job(), "deposit", "0.3"), new_key()
    entry = PaymentEntry(amount=usd("100.00"), on=date(2026, 6, 2))

    for _ in range(2):
        services.record_payment(invoice=invoice, entry=entry, person=ada(), key=key)

    invoice.refresh_from_db()
    assert Payment.objects.count() == 1
    assert invoice.paid == usd("100.00")


def test_too_much_money_stays_on_the_statement_until_it_goes_back() -> None:
    invoice = billed(a_job(), "deposit", "0.3")
    pay(invoice, "1900.00")

    statement = queries.statement_on(ada(), on=date(2026, 6, 20))
    assert [row.number for row in statement.invoices] == [invoice.number]
    assert statement.ages[0][1].total == usd("-75.68")

    with pytest.raises(Refusal, match="no more can be paid back"):
        pay(invoice, "1900.01", way="refund")
    pay(invoice, "75.68", way="refund")
    assert queries.statement_on(ada(), on=date(2026, 6, 20)).invoices == ()


def test_the_statement_shows_what_is_late() -> None:
    job = a_job()
    billed(job, "deposit", "0.3")

    statement = queries.statement_on(ada(), on=date(2026, 7, 20))

    ages = dict(statement.ages[0][1].columns)
    assert ages["to_60"] == usd("1824.32")
    assert ages["not_due"] == usd("0.00")


def test_a_credit_note_mirrors_its_invoice_in_a_series_of_its_own() -> None:
    invoice = billed(a_job(), "deposit", "0.3")

    note = credit(invoice)

    invoice.refresh_from_db()
    assert (note.number, note.type_code) == ("C-2026-0001", "381")
    assert (note.net, note.tax, note.gross, note.due) == (
        invoice.net,
        invoice.tax,
        invoice.gross,
        invoice.due,
    )
    mirrored, stored = queries.issued_document(note), queries.issued_document(invoice)
    assert mirrored.lines == stored.lines
    assert mirrored.taxes == stored.taxes
    assert mirrored.references.credits == invoice.number
    assert invoice.state == "settled"
    assert queries.earlier_of(invoice.job) == ()


def test_credits_in_parts_end_where_the_invoice_began() -> None:
    invoice = billed(a_job(), "deposit", "0.3")
    first = services.credit_invoice(
        invoice=invoice,
        reason="Agreed",
        person=ada(),
        at=ISSUED_AT,
        key=new_key(),
        wanted={"share-1": usd("100.03")},
    )

    second = credit(invoice)

    assert first.gross == usd("106.28")
    assert first.gross.amount + second.gross.amount == invoice.gross.amount
    with pytest.raises(NotInvoiceable, match="Nothing is left"):
        credit(invoice)


def test_a_partly_credited_deposit_is_deducted_by_what_is_left() -> None:
    job = a_job()
    invoice = billed(job, "deposit", "0.3")
    services.credit_invoice(
        invoice=invoice,
        reason="Agreed",
        person=ada(),
        at=ISSUED_AT,
        key=new_key(),
        wanted={"share-2": usd("100.00")},
    )

    final = billed(job, "final")

    assert final.prepaid == usd("1724.32")
    assert final.due == usd("4356.75")


def test_a_credit_needs_a_reason_and_an_issued_invoice() -> None:
    job = a_job()
    invoice = draft(job, "deposit", "0.3")

    with pytest.raises(NotInvoiceable, match="Only an issued invoice"):
        credit(invoice)
    issued = issue(invoice)
    with pytest.raises(NotInvoiceable, match="why"):
        services.credit_invoice(
            invoice=issued, reason=" ", person=ada(), at=ISSUED_AT, key=new_key()
        )
    assert Invoice.objects.filter(kind="credit").count() == 0


def test_what_the_final_account_deducted_is_credited_after_it() -> None:
    job = a_job()
    first = billed(job, "deposit", "0.3")
    billed(job, "final")

    with pytest.raises(NotInvoiceable, match="already deducted"):
        credit(first)


def test_a_variation_is_invoiced_on_its_own_and_deducted_at_last() -> None:
    job = a_job()
    variation = services.propose_variation(
        job=job,
        entry=VariationEntry(
            text="A second niche",
            net=usd("240.00"),
            cost=usd("150.00"),
            tax=TaxKey(category="O", rate=Fraction(0)),
        ),
        person=ada(),
        at=BOOKED_AT,
        key=new_key(),
    )
    entry = DraftEntry(kind="variation", variation=variation)
    with pytest.raises(NotInvoiceable, match="agreed to"):
        services.draft_invoice(job=job, entry=entry, person=ada(), key=new_key())
    agreed = services.agree_variation(
        variation=variation, agreed_by="Mrs Okafor", person=ada(), at=BOOKED_AT
    )

    extra = issue(
        services.draft_invoice(
            job=job,
            entry=DraftEntry(kind="variation", variation=agreed),
            person=ada(),
            key=new_key(),
        )
    )
    final = billed(job, "final")

    assert extra.due == usd("240.00")
    assert final.gross == usd("6321.07")
    assert final.due == usd("6081.07")


def test_a_change_that_takes_off_lowers_the_final_account_and_the_forecast() -> None:
    job = a_job()
    before = queries.cost_of(job).report.sums.forecast
    variation = services.propose_variation(
        job=job,
        entry=VariationEntry(
            text="No niche after all",
            net=usd("-240.00"),
            cost=usd("-150.00"),
            tax=TaxKey(category="O", rate=Fraction(0)),
        ),
        person=ada(),
        at=BOOKED_AT,
        key=new_key(),
    )
    agreed = services.agree_variation(
        variation=variation, agreed_by="Mrs Okafor", person=ada(), at=BOOKED_AT
    )

    with pytest.raises(NotInvoiceable, match="with the final account"):
        services.draft_invoice(
            job=job,
            entry=DraftEntry(kind="variation", variation=agreed),
            person=ada(),
            key=new_key(),
        )
    assert billed(job, "final").due == usd("5841.07")
    forecast = queries.cost_of(job).report.sums.forecast
    assert forecast.amount == before.amount - 150


def test_more_than_was_agreed_cannot_be_asked_for() -> None:
    job = a_job()
    billed(job, "deposit", "0.7")

    with pytest.raises(NotInvoiceable, match="was agreed"):
        draft(job, "stage", "0.31")


def test_the_database_refuses_a_number_on_a_draft() -> None:
    invoice = draft(a_job(), "deposit", "0.3")

    with pytest.raises(IntegrityError), transaction.atomic():
        Invoice.objects.filter(pk=invoice.pk).update(number="I-2026-0009")
    with pytest.raises(IntegrityError), transaction.atomic():
        Invoice.objects.filter(pk=invoice.pk).update(gross=usd("1.00"))


def test_an_issue_is_one_line_in_the_trail_with_the_digest() -> None:
    invoice = billed(a_job(), "deposit", "0.3")

    entry = AuditEntry.objects.get(action="issue deposit")

    assert entry.subject == invoice.number
    assert entry.facts["digest"] == invoice.digest

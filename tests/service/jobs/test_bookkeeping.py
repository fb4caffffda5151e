"""Tables for the bookkeeper: nothing counts twice, and no name is a formula."""

from __future__ import annotations

import io
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

import openpyxl
import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from moneyed import Money

from jobs import queries, services
from jobs.core.bookkeeping import percent
from jobs.models import Invoice
from jobs.services import PaymentEntry
from materials.core.tables import comma
from tests.service.jobs.booked import a_job, ada, ben, new_key, usd
from tests.service.jobs.test_invoices import billed, credit, draft, issue, pay
from tests.service.office import signed_in

pytestmark = pytest.mark.django_db

LATER = datetime(2026, 7, 1, 9, 0, tzinfo=UTC)
YEAR = (date(2026, 1, 1), date(2026, 12, 31))


def sums(since: date = YEAR[0], until: date = YEAR[1]) -> tuple[Money, Money]:
    found = list(queries.sales_between(ada(), since, until))
    return (
        sum((one.net for one in found), usd("0")),
        sum((one.amount for one in found), usd("0")),
    )


def table(what: str, **days: str) -> list[dict[str, str]]:
    query = {"since": "2026-01-01", "until": "2026-12-31"} | days
    answer = signed_in(ada()).get(reverse("books-out", args=[what, "csv"]), query)
    assert answer.status_code == 200
    head, *rows = comma.read(answer.content)
    return [dict(zip(head, row, strict=False)) for row in rows]


def test_deposit_stage_and_final_come_to_the_contract_once() -> None:
    job = a_job()
    whole = queries.contract_of(job).totals
    for kind, share in (("deposit", "0.3"), ("stage", "0.4"), ("final", None)):
        billed(job, kind, share)

    assert sums() == (whole.net, whole.tax)
    by_rate: dict[str, Decimal] = {}
    for row in table("sales"):
        key = row["tax_category"] + row["tax_percent"]
        by_rate[key] = by_rate.get(key, Decimal(0)) + Decimal(row["net"])
    assert by_rate == {
        row.tax.category + str(percent(row.tax.rate)): row.base.amount
        for row in whole.rows
    }


def test_a_period_holds_what_was_issued_in_it() -> None:
    job = a_job()
    first = billed(job, "deposit", "0.3")
    issue(draft(job, "final"), at=LATER)
    whole = queries.contract_of(job).totals

    in_june = sums(until=date(2026, 6, 30))
    in_july = sums(since=date(2026, 7, 1))

    assert in_june == (first.net, first.tax)
    assert in_july == (whole.net - first.net, whole.tax - first.tax)


def test_credits_before_and_after_a_final_account_count_once() -> None:
    job = a_job()
    deposit = billed(job, "deposit", "0.3")
    services.credit_invoice(
        invoice=deposit, reason="Agreed", person=ada(), key=new_key(),
        at=datetime(2026, 6, 1, 15, 0, tzinfo=UTC), wanted={"share-2": usd("100.00")},
    )  # fmt: skip
    final = billed(job, "final")
    whole = queries.contract_of(job).totals
    assert sums() == (whole.net, whole.tax)

    credit(final)

    left = queries.earlier_of(job)
    assert sums() == (left[0].net, left[0].tax)
    credit(deposit)
    assert sums() == (usd("0"), usd("0"))


def test_payments_and_refunds_have_their_sign() -> None:
    invoice = billed(a_job(), "deposit", "0.3")
    pay(invoice, "1900.00")
    pay(invoice, "75.68", way="refund")

    rows = table("payments")

    assert [row["amount"] for row in rows] == ["1900.00", "-75.68"]
    assert rows[0]["invoice"] == "I-2026-0001"
    assert [row["paid_on"] for row in table("payments", until="2026-06-01")] == []


def test_a_client_called_like_a_formula_leaves_as_text() -> None:
    job = a_job()
    name = "=cmd|' /C calc'!A0"
    invoice = billed(job, "deposit", "0.3")
    services.record_payment(
        invoice=invoice,
        entry=PaymentEntry(amount=usd("5"), on=date(2026, 6, 2), reference=name),
        person=ada(),
        key=new_key(),
    )

    answer = signed_in(ada()).get(
        reverse("books-out", args=["all", "xlsx"]),
        {"since": "2026-01-01", "until": "2026-12-31"},
    )

    book = openpyxl.load_workbook(io.BytesIO(answer.content))
    assert book.sheetnames == ["sales", "payments", "purchases"]
    assert not any(
        cell.data_type == "f" for sheet in book for row in sheet for cell in row
    )
    assert book["payments"]["E2"].value == f"'{name}"
    assert book["payments"]["B2"].value == 5


def test_a_changed_document_is_told_instead_of_booked() -> None:
    invoice = billed(a_job(), "deposit", "0.3")
    document = {**invoice.document, "title": "Another"}
    with_changed: Any = Invoice.objects.filter(pk=invoice.pk)
    from materials.models.guarding import lowered

    with lowered():
        with_changed.update(document=document)

    answer = signed_in(ada()).get(reverse("books-out", args=["sales", "csv"]),
                                  {"since": "2026-01-01", "until": "2026-12-31"},
                                  follow=True)  # fmt: skip

    assert "does not match its digest" in answer.content.decode()


def test_the_page_asks_for_days_and_a_setter_gets_none() -> None:
    a_job()
    page = signed_in(ada()).get(reverse("books")).content.decode()
    wrong = signed_in(ada()).get(
        reverse("books"), {"since": "2026-05-01", "until": "2026-04-01"}
    )

    assert "since=" in page
    assert wrong.status_code == 422
    assert "before the first day" in wrong.content.decode()
    assert signed_in(ben()).get(reverse("books")).status_code == 403
    for what, ending in (("all", "csv"), ("wages", "csv"), ("sales", "ods")):
        place = reverse("books-out", args=[what, ending])
        assert signed_in(ada()).get(place).status_code == 404


def test_many_documents_take_as_many_queries_as_few() -> None:
    counts = []
    for numbers in ("12", "345"):
        for number in numbers:
            job = a_job(f"Q-020{number}")
            billed(job, "deposit", "0.3")
            billed(job, "final")
        table("sales")  # who takes a table for the first time is entered as doing so
        with CaptureQueriesContext(connection) as asked:
            table("sales")
        counts.append(len(asked))

    assert counts[0] == counts[1]

"""Invoices, credits, reminders and receipts by mail: shown, then sent by a click."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.core import mail
from django.urls import reverse
from django.utils import timezone

from jobs import services
from jobs.models import Invoice, Job
from jobs.services import DraftEntry
from materials.models import Outgoing
from materials.tasks import carry
from tests.service.jobs.booked import a_job, ada, ben, new_key, olive
from tests.service.office import send, signed_in, text_of

pytestmark = pytest.mark.django_db

AT = datetime(2026, 6, 1, 15, 0, tzinfo=UTC)


@pytest.fixture(autouse=True)
def _kept_files(settings: Any, tmp_path: Any) -> Iterator[None]:
    settings.MEDIA_ROOT = tmp_path
    return None


def issued(job: Job | None = None, at: datetime = AT) -> Invoice:
    draft = services.draft_invoice(
        job=job or a_job(), entry=DraftEntry(kind="final"), person=ada(), key=new_key()
    )
    return services.issue_invoice(invoice=draft, person=ada(), at=at, key=new_key())


def sent() -> Any:
    """Carry the one letter that is owed and return it."""
    row = Outgoing.objects.get(kind="mail", state="waiting")
    assert carry(row.pk), Outgoing.objects.get(pk=row.pk).why
    return mail.outbox[-1]


def enclosed(letter: Any) -> tuple[str, bytes]:
    ((name, data, media_type),) = letter.attachments
    assert media_type == "application/pdf"
    return name, data


def test_an_invoice_goes_out_with_its_paper() -> None:
    row = issued()
    page = text_of(signed_in(olive()), "mail-invoice", row.uid, "invoice")
    assert "Enclosed is invoice I-2026-0001" in page
    assert not Outgoing.objects.filter(kind="mail").exists(), "looking sends nothing"

    send(signed_in(olive()), "mail-invoice", row.uid, "invoice",
         to="okafor@example.org", words="Thank you for the tea.")  # fmt: skip

    letter = sent()
    assert letter.subject == "Invoice I-2026-0001 from Marl & Sons"
    assert "Thank you for the tea." in letter.body
    assert "$6,081.07" in letter.body
    assert "Please pay by 15 June 2026." in letter.body
    assert "Ferry Mutual" in letter.body
    assert letter.reply_to == []
    name, data = enclosed(letter)
    assert name == "I-2026-0001.pdf"
    assert data.startswith(b"%PDF-")
    assert "Invoice by mail" in text_of(signed_in(olive()), "invoice", row.uid)


def test_a_credit_note_says_what_it_takes_off() -> None:
    note = services.credit_invoice(
        invoice=issued(), reason="Agreed", person=ada(), at=AT, key=new_key()
    )
    send(signed_in(ada()), "mail-invoice", note.uid, "invoice", to="o@example.org")

    letter = sent()
    assert letter.subject.startswith("Credit note ")
    assert "off invoice I-2026-0001." in letter.body
    assert "Please pay" not in letter.body
    assert enclosed(letter)[0] == f"{note.number}.pdf"


def test_a_reminder_names_the_day_and_what_is_open() -> None:
    row = issued()
    send(signed_in(olive()), "mail-invoice", row.uid, "reminder", to="o@example.org")

    letter = sent()
    assert "was due on 15 June 2026; $6,081.07 of it is still open." in letter.body


def test_nobody_is_reminded_before_the_day_or_after_paying() -> None:
    early = issued(at=timezone.now() - timedelta(days=1))
    page = signed_in(ada()).get(
        reverse("mail-invoice", args=[early.uid, "reminder"]), follow=True
    )

    assert "remind of it after that day" in page.content.decode()
    assert not Outgoing.objects.filter(kind="mail").exists()


def test_a_draft_is_not_mailed_and_a_setter_mails_nothing() -> None:
    job = a_job()
    draft = services.draft_invoice(
        job=job, entry=DraftEntry(kind="final"), person=ada(), key=new_key()
    )
    place = reverse("mail-invoice", args=[draft.uid, "invoice"])

    page = signed_in(ada()).get(place, follow=True)

    assert "issue it first" in page.content.decode()
    assert signed_in(ben()).get(place).status_code == 403


def test_one_click_is_one_letter_however_often_it_arrives() -> None:
    row, key, browser = issued(), new_key(), signed_in(ada())
    for _ in range(3):
        send(browser, "mail-invoice", row.uid, "invoice", to="o@example.org",
             request_key=key)  # fmt: skip
    send(browser, "mail-invoice", row.uid, "invoice", to="other@example.org",
         request_key=key, expect=422)  # fmt: skip
    send(browser, "mail-invoice", row.uid, "invoice", to="o@example.org",
         request_key="", expect=422)  # fmt: skip

    assert Outgoing.objects.filter(kind="mail").count() == 1


def test_an_issued_invoice_owes_its_paper_in_the_same_transaction() -> None:
    row = issued()

    owed = Outgoing.objects.get(paper=f"invoice:{row.pk}")
    assert owed.kind == "paper"
    Outgoing.objects.update(due_at=timezone.now())
    assert carry(owed.pk)
    row.refresh_from_db()
    assert row.pdf is not None


def test_the_receipt_of_an_acceptance_goes_out_with_the_paper() -> None:
    job = a_job()
    number = job.revision.quote.number
    page = text_of(signed_in(ada()), "quote", number)
    assert "Mail the receipt" in page

    send(signed_in(ada()), "mail-quote", number, to="okafor@example.org")

    letter = sent()
    assert "was accepted by Mrs Okafor on 14 May 2026" in letter.body
    assert job.revision.digest in letter.body
    assert enclosed(letter)[0] == f"{number}-A.pdf"

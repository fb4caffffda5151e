"""Mail about an invoice: itself, a credit note, a reminder."""

from __future__ import annotations

from datetime import date, datetime

from django.db import transaction
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from jobs import queries
from jobs.core.invoicing import NotInvoiceable
from jobs.models import Invoice
from materials.models import Outgoing, Person
from materials.services import Letter, once, owe_mail
from quotes.services.mailing import keep_address


@transaction.atomic
def mail_invoice(
    *, invoice: Invoice, letter: Letter, person: Person, at: datetime, key: str
) -> Outgoing:
    """Owe the client a letter with an issued invoice or credit note.

    Raises: NotInvoiceable for a draft; Refusal for more or less than one address.
    """
    claim = once(
        key=key,
        purpose="mail invoice",
        person=person,
        payload={
            "invoice": invoice.pk,
            "to": letter.recipient,
            "title": letter.title,
            "body": letter.body,
        },
    )
    if claim.outcome:
        return Outgoing.objects.get(pk=claim.outcome)
    if invoice.is_draft:
        raise NotInvoiceable(_("This invoice is still a draft; issue it first."))
    owed = owe_mail(letter=letter, person=person, at=at, name=key)
    keep_address(invoice.job.client, owed.recipient)
    claim.settle(owed.pk)
    return owed


def check_reminder(invoice: Invoice, *, on: date) -> None:
    """Refuse to remind of what is paid, not due yet, or no invoice.

    Raises: NotInvoiceable.
    """
    if invoice.is_draft or invoice.is_credit or queries.still_open(invoice).amount <= 0:
        raise NotInvoiceable(_("Nothing is open on this document; no need to remind."))
    if invoice.due_on is not None and on <= invoice.due_on:
        raise NotInvoiceable(
            _("This invoice is due on %(day)s; remind of it after that day.")
            % {"day": date_format(invoice.due_on, _("j M Y"))}
        )

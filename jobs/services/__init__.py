"""Writes of the top app, by topic: booking, actuals, invoices, payments, variations."""

from __future__ import annotations

from jobs.services.actuals import (
    PurchaseEntry,
    PurchaseLineEntry,
    UseEntry,
    receive_purchase,
    record_purchase,
    record_return,
    record_use,
)
from jobs.services.booking import change_state, make_job, mark_finished
from jobs.services.credits import credit_invoice
from jobs.services.hours import HoursEntry, record_day
from jobs.services.invoices import (
    DraftEntry,
    discard_draft,
    draft_invoice,
    issue_invoice,
    keep_pdf,
    refresh_draft,
)
from jobs.services.mailing import check_reminder, mail_invoice
from jobs.services.offcuts import OffcutEntry, keep_offcut, use_offcut
from jobs.services.payments import PaymentEntry, record_payment
from jobs.services.variations import (
    VariationEntry,
    agree_variation,
    decline_variation,
    propose_variation,
)

__all__ = [
    "DraftEntry",
    "HoursEntry",
    "OffcutEntry",
    "PaymentEntry",
    "PurchaseEntry",
    "PurchaseLineEntry",
    "UseEntry",
    "VariationEntry",
    "agree_variation",
    "change_state",
    "check_reminder",
    "credit_invoice",
    "decline_variation",
    "discard_draft",
    "draft_invoice",
    "issue_invoice",
    "keep_offcut",
    "keep_pdf",
    "mail_invoice",
    "make_job",
    "mark_finished",
    "propose_variation",
    "receive_purchase",
    "record_day",
    "record_payment",
    "record_purchase",
    "record_return",
    "record_use",
    "refresh_draft",
    "use_offcut",
]

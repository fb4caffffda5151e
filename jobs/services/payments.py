"""Money that comes in, or goes back."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.db import transaction
from django.utils.translation import gettext as _
from moneyed import Money

from jobs import queries
from jobs.models import Invoice, Payment
from materials.core import amounts
from materials.core.errors import MixedCurrencies, OutOfRange, Refusal
from materials.models import Person
from materials.services import audit, once
from materials.services.pricelist import saved


@dataclass(frozen=True, slots=True, kw_only=True)
class PaymentEntry:
    """Money as entered; `amount` is above nothing, also when it is paid back."""

    amount: Money
    on: date
    way: str = Payment.Way.TRANSFER
    reference: str = ""


@transaction.atomic
def record_payment(
    *, invoice: Invoice, entry: PaymentEntry, person: Person, key: str
) -> Payment:
    """Record a payment, a part of one, or money paid back.

    Locks the invoice. More than is open is taken in and shows as overpaid; no more
    can be paid back than came in.

    Raises: Refusal for a draft or a credit note, nothing, or another currency.
    """
    claim = once(
        key=key,
        purpose="record payment",
        person=person,
        payload=_plain(invoice, entry),
    )
    if claim.outcome:
        return Payment.objects.get(pk=claim.outcome)
    row = (
        Invoice.objects.select_for_update(of=("self",))
        .select_related("job")
        .get(pk=invoice.pk)
    )
    if row.is_draft or row.is_credit:
        raise Refusal(_("Payments belong to issued invoices; choose one."))
    payment = Payment(
        invoice=row,
        paid_on=entry.on,
        amount=_signed(row, entry),
        way=entry.way,
        reference=entry.reference.strip(),
        request_key=key,
        made_by=person,
    )
    saved(payment)
    row.paid = amounts.total([row.paid, payment.amount], row.due.currency.code)
    settle(row)
    audit(
        action="record payment",
        subject=row.number or "",
        person=person,
        facts={"amount": str(payment.amount.amount), "way": payment.way},
        seals=[payment],
    )
    claim.settle(payment.pk)
    return payment


def _plain(invoice: Invoice, entry: PaymentEntry) -> dict[str, object]:
    return {
        "invoice": invoice.pk,
        "amount": str(entry.amount.amount),
        "on": str(entry.on),
        "way": entry.way,
    }


def _signed(row: Invoice, entry: PaymentEntry) -> Money:
    code = row.due.currency.code
    if entry.amount.currency.code != code:
        raise MixedCurrencies(
            _("This invoice is in %(code)s; enter the payment in it.") % {"code": code},
            field="amount",
        )
    if entry.amount.amount <= 0:
        raise OutOfRange(_("Enter an amount above nothing."), field="amount")
    if entry.way != Payment.Way.REFUND:
        return entry.amount
    if amounts.exact(entry.amount) > amounts.exact(row.paid):
        raise OutOfRange(
            _("%(paid)s came in on this invoice; no more can be paid back.")
            % {"paid": amounts.plain(row.paid)},
            field="amount",
        )
    return amounts.from_units(-amounts.to_units(entry.amount), code)


def settle(row: Invoice) -> None:
    """Set the state of a locked invoice by what is still open, and save it."""
    left = amounts.exact(queries.still_open(row))
    if left <= 0:
        row.state = Invoice.State.SETTLED
    elif left < amounts.exact(row.due):
        row.state = Invoice.State.PART_SETTLED
    else:
        row.state = Invoice.State.ISSUED
    saved(row)

"""What the work took in goods: purchases, returns, use."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from django.db import transaction
from django.utils.translation import gettext as _
from moneyed import Money

from jobs.models import (
    BudgetLine,
    GoodsReturn,
    Job,
    Purchase,
    PurchaseLine,
    Usage,
)
from jobs.services.booking import check_open
from materials.core import amounts
from materials.core.errors import MixedCurrencies, OutOfRange, Refusal
from materials.core.quantities import decimal_text
from materials.fields import QuantityField
from materials.models import Person, StoredFile, Supplier
from materials.services import audit, once
from materials.services.pricelist import saved


@dataclass(frozen=True, slots=True, kw_only=True)
class PurchaseLineEntry:
    """One line of a receipt as entered; without a budget line, `text` names it.

    `holds` is the content of one pack in the budget line's unit; None takes it from
    the packs that were quoted.
    """

    budget_line: BudgetLine | None
    packs: int
    price_each: Money
    text: str = ""
    cost_class: str = "materials"
    holds: Fraction | None = None
    lot: str = ""
    shade: str = ""
    calibre: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PurchaseEntry:
    """A receipt or an order as entered; `received_on` is None while only ordered."""

    bought_on: date
    received_on: date | None
    tax_rate: Fraction
    tax_recoverable: bool
    lines: tuple[PurchaseLineEntry, ...]
    supplier: Supplier | None = None
    reference: str = ""
    note: str = ""
    photo: StoredFile | None = None


@transaction.atomic
def record_purchase(
    *, job: Job, entry: PurchaseEntry, person: Person, key: str
) -> Purchase:
    """Record what was bought or ordered for a job.

    Rounds: each line's net and its unrecoverable tax once, half up.
    Raises: Refusal for a line that is none, or of another job or currency.
    """
    claim = once(
        key=key, purpose="record purchase", person=person, payload=_plain(job, entry)
    )
    if claim.outcome:
        return Purchase.objects.get(pk=claim.outcome)
    check_open(job)
    if not entry.lines:
        raise Refusal(_("Enter at least one line of what was bought."), field="packs")
    row = Purchase(
        job=job,
        supplier=entry.supplier,
        reference=entry.reference.strip(),
        bought_on=entry.bought_on,
        received_on=entry.received_on,
        tax_rate=entry.tax_rate,
        tax_recoverable=entry.tax_recoverable,
        photo=entry.photo,
        note=entry.note.strip(),
        made_by=person,
    )
    saved(row)
    for line in entry.lines:
        saved(_purchase_line(row, line))
    audit(
        action="record purchase",
        subject=job.number,
        person=person,
        facts={
            "purchase": str(row.uid),
            "lines": len(entry.lines),
            "received": row.received_on,
        },
        seals=[row, *row.lines.only("pk")],
    )
    claim.settle(row.pk)
    return row


def _plain(job: Job, entry: PurchaseEntry) -> dict[str, object]:
    return {
        "job": job.pk,
        "bought_on": str(entry.bought_on),
        "lines": [
            [
                line.budget_line.pk if line.budget_line else None,
                line.packs,
                str(line.price_each.amount),
                line.text,
                str(line.holds),
                line.lot,
            ]
            for line in entry.lines
        ],
        "supplier": entry.supplier.pk if entry.supplier else None,
        "photo": entry.photo.digest if entry.photo else "",
    }


def _purchase_line(purchase: Purchase, entry: PurchaseLineEntry) -> PurchaseLine:
    job, line = purchase.job, entry.budget_line
    if entry.packs <= 0:
        raise OutOfRange(
            _("%(packs)s packs were not bought; enter 1 or more.")
            % {"packs": entry.packs},
            field="packs",
        )
    if line is not None and line.job_id != job.pk:
        raise Refusal(_("That budget line is of another job."), field="budget_line")
    text = entry.text.strip() or (line.text if line is not None else "")
    if not text:
        raise Refusal(
            _("Choose a line of the budget, or write what was bought."), field="text"
        )
    if entry.price_each.currency.code != job.currency:
        raise MixedCurrencies(
            _("This job is kept in %(code)s; enter the price in it.")
            % {"code": job.currency},
            field="price_each",
        )
    net = amounts.extend(entry.price_each, Fraction(entry.packs))
    tax = amounts.percent_of(net, purchase.tax_rate)
    return PurchaseLine(
        purchase=purchase,
        budget_line=line,
        material=line.material if line is not None else None,
        cost_class=line.cost_class if line is not None else entry.cost_class,
        text=text,
        packs=entry.packs,
        quantity=QuantityField.nearest(holds_each(line, entry.holds) * entry.packs),
        price_each=entry.price_each,
        net=net,
        tax_cost=amounts.zero(job.currency) if purchase.tax_recoverable else tax,
        lot=entry.lot.strip(),
        shade=entry.shade.strip(),
        calibre=entry.calibre.strip(),
    )


def holds_each(line: BudgetLine | None, holds: Fraction | None) -> Fraction:
    """Return the content of one pack: as entered, else as quoted on average.

    Raises: OutOfRange for a pack that holds nothing.
    """
    if holds is not None:
        if holds <= 0:
            raise OutOfRange(
                _("A pack that holds %(holds)s holds nothing; enter what is in it.")
                % {"holds": decimal_text(holds, places=6)},
                field="holds",
            )
        return holds
    if line is None or not line.pack_count or not line.quantity:
        return Fraction(1)
    return line.quantity / line.pack_count


@transaction.atomic
def receive_purchase(*, purchase: Purchase, on: date, person: Person) -> Purchase:
    """Note that an order has arrived.

    Raises: Refusal if it arrived before, or before it was ordered.
    """
    row = Purchase.objects.select_for_update().select_related("job").get(pk=purchase.pk)
    check_open(row.job)
    if row.received_on is not None:
        return row
    if on < row.bought_on:
        raise OutOfRange(
            _("It cannot arrive before it was ordered on %(day)s.")
            % {"day": row.bought_on},
            field="received_on",
        )
    row.received_on = on
    saved(row)
    audit(
        action="receive purchase",
        subject=row.job.number,
        person=person,
        facts={"purchase": str(row.uid), "received": row.received_on},
    )
    return row


@transaction.atomic
def record_return(
    *, line: PurchaseLine, packs: int, credit: Money, on: date, person: Person, key: str
) -> GoodsReturn:
    """Record packs taken back and the credit given for them.

    Raises: OutOfRange for more packs than are left of the purchase, or more credit
    than was paid for them.
    """
    claim = once(
        key=key,
        purpose="record return",
        person=person,
        payload={"line": line.pk, "packs": packs, "credit": str(credit.amount)},
    )
    if claim.outcome:
        return GoodsReturn.objects.get(pk=claim.outcome)
    row = _returnable(line, packs=packs)
    job = row.purchase.job
    back = GoodsReturn(
        line=row,
        returned_on=on,
        packs=packs,
        quantity=QuantityField.nearest(row.quantity * packs / row.packs),
        credit=_credit(row, packs=packs, credit=credit),
        made_by=person,
    )
    saved(back)
    audit(
        action="record return",
        subject=job.number,
        person=person,
        facts={"line": row.text, "packs": packs},
        seals=[back],
    )
    claim.settle(back.pk)
    return back


def _returnable(line: PurchaseLine, *, packs: int) -> PurchaseLine:
    """Return the purchase line under its lock, if so many packs are left of it."""
    row = (
        PurchaseLine.objects.select_for_update(of=("self",))
        .select_related("purchase__job")
        .get(pk=line.pk)
    )
    check_open(row.purchase.job)
    left = row.packs - sum(row.returns.values_list("packs", flat=True))
    if not 0 < packs <= left:
        raise OutOfRange(
            _("%(left)s packs can still go back; enter 1 to %(left)s.")
            % {"left": left},
            field="packs",
        )
    return row


def _credit(line: PurchaseLine, *, packs: int, credit: Money) -> Money:
    paid = amounts.total([line.net, line.tax_cost], line.net.currency.code)
    most = amounts.extend(paid, Fraction(packs, line.packs))
    if credit.currency.code != line.net.currency.code:
        raise MixedCurrencies(
            _("This job is kept in %(code)s; enter the credit in it.")
            % {"code": line.net.currency.code},
            field="credit",
        )
    if not 0 <= amounts.exact(credit) <= amounts.exact(most):
        raise OutOfRange(
            _("%(most)s was paid for them; enter a credit from 0 to that.")
            % {"most": amounts.plain(most)},
            field="credit",
        )
    return credit


@dataclass(frozen=True, slots=True, kw_only=True)
class UseEntry:
    """A quantity as entered, in the unit of its budget line."""

    how: str
    quantity: Fraction
    on: date
    note: str = ""


@transaction.atomic
def record_use(*, line: BudgetLine, entry: UseEntry, person: Person, key: str) -> Usage:
    """Record what was used, broken or left over of a budget line.

    Raises: Refusal for nothing, or a line that is not goods.
    """
    how, quantity = entry.how, entry.quantity
    claim = once(
        key=key,
        purpose="record use",
        person=person,
        payload={
            "line": line.pk,
            "how": how,
            "quantity": str(quantity),
            "on": str(entry.on),
        },
    )
    if claim.outcome:
        return Usage.objects.get(pk=claim.outcome)
    _check_use(line, quantity)
    row = Usage(
        job=line.job,
        budget_line=line,
        noted_on=entry.on,
        how=how,
        quantity=QuantityField.nearest(quantity),
        note=entry.note.strip(),
        made_by=person,
    )
    saved(row)
    audit(
        action="record use",
        subject=line.job.number,
        person=person,
        facts={"line": line.key, "how": how, "quantity": str(quantity)},
        seals=[row],
    )
    claim.settle(row.pk)
    return row


def _check_use(line: BudgetLine, quantity: Fraction) -> None:
    check_open(line.job)
    if line.cost_class != "materials":
        raise Refusal(
            _("Only goods are used up; hours belong on a day sheet."),
            field="budget_line",
        )
    if quantity <= 0:
        raise OutOfRange(
            _("%(quantity)s is no quantity; enter more than 0.")
            % {"quantity": decimal_text(quantity, places=6)},
            field="quantity",
        )

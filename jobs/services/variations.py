"""Changes after acceptance: proposed, agreed by the client, and only then counted."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction

from django.db import transaction
from django.utils.translation import gettext as _
from moneyed import Money

from jobs import queries
from jobs.core.bills import Agreed
from jobs.core.invoicing import TaxKey
from jobs.models import BudgetLine, Job, Variation
from jobs.services.booking import check_open
from jobs.services.numbers import take_number
from materials.core.errors import MixedCurrencies, Refusal
from materials.models import Person
from materials.services import audit, once
from materials.services.pricelist import saved
from quotes.core import frozen


@dataclass(frozen=True, slots=True, kw_only=True)
class VariationEntry:
    """A change as entered: what, what it costs, what the client pays before tax."""

    text: str
    net: Money
    cost: Money
    tax: TaxKey
    cost_class: str = "labour"


@transaction.atomic
def propose_variation(
    *, job: Job, entry: VariationEntry, person: Person, at: datetime, key: str
) -> Variation:
    """Write a change down, to be agreed by the client.

    Raises: Refusal without words, without money, or in another currency.
    """
    claim = once(
        key=key,
        purpose="propose variation",
        person=person,
        payload={"job": job.pk, "text": entry.text, "net": str(entry.net.amount)},
    )
    if claim.outcome:
        return Variation.objects.get(pk=claim.outcome)
    check_open(job)
    text = _checked_text(job, entry)
    number, dated = take_number(kind="variation", on=queries.local_date(at))
    line = Agreed(key=str(number), group=str(number), text=text, net=entry.net,
                  tax=entry.tax)  # fmt: skip
    row = Variation(
        job=job,
        number=str(number),
        text=text,
        cost_class=entry.cost_class,
        lines=[frozen.plain(line)],
        cost=entry.cost,
        net=entry.net,
        made_by=person,
    )
    saved(row)
    audit(action="propose variation", subject=row.number, person=person,
          facts={"job": job.number, "on": dated}, seals=[row])  # fmt: skip
    claim.settle(row.pk)
    return row


def _checked_text(job: Job, entry: VariationEntry) -> str:
    """Return the words of a change, once its money makes sense."""
    text = entry.text.strip()
    if not text:
        raise Refusal(_("Write what is to be done differently."), field="text")
    if {entry.net.currency.code, entry.cost.currency.code} != {job.currency}:
        raise MixedCurrencies(
            _("This job is kept in %(code)s; enter the sums in it.")
            % {"code": job.currency},
            field="net",
        )
    if entry.net.amount == 0 and entry.cost.amount == 0:
        raise Refusal(_("Enter what the change costs or what is paid for it."),
                      field="net")  # fmt: skip
    return text


@transaction.atomic
def agree_variation(
    *, variation: Variation, agreed_by: str, person: Person, at: datetime
) -> Variation:
    """Note who agreed to a change; it joins contract and budget.

    Agreed twice it counts once.

    Raises: Refusal without a name, or after it was declined.
    """
    row = (
        Variation.objects.select_for_update(of=("self",))
        .select_related("job")
        .get(pk=variation.pk)
    )
    if row.state == Variation.State.AGREED:
        return row
    check_open(row.job)
    if row.state == Variation.State.DECLINED:
        raise Refusal(_("This change was declined; write a new one."))
    if not agreed_by.strip():
        raise Refusal(_("Write who agreed to it."), field="agreed_by")
    if queries.standing_final(row.job) is not None:
        raise Refusal(
            _("The final account of this job is out; credit it before adding to it.")
        )
    row.state, row.agreed_by = Variation.State.AGREED, agreed_by.strip()
    row.agreed_on = queries.local_date(at)
    saved(row)
    line = BudgetLine(
        job=row.job,
        variation=row,
        key=row.number,
        position=10_000 + row.pk,
        cost_class=row.cost_class,
        nature="hand",
        text=row.text,
        quantity=Fraction(1),
        cost=row.cost,
        price=row.net,
    )
    saved(line)
    audit(action="agree variation", subject=row.number, person=person,
          facts={"agreed_by": row.agreed_by, "net": str(row.net.amount)},
          seals=[row, line])  # fmt: skip
    return row


@transaction.atomic
def decline_variation(*, variation: Variation, person: Person) -> Variation:
    """Note that the client does not want a change."""
    row = Variation.objects.select_for_update().get(pk=variation.pk)
    if row.state == Variation.State.AGREED:
        raise Refusal(_("This change was agreed; it cannot be declined any more."))
    row.state = Variation.State.DECLINED
    saved(row)
    audit(action="decline variation", subject=row.number, person=person)
    return row

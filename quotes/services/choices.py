"""Build-ups of a visit, its terms, hand-typed lines, allowances and overrules."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import date
from fractions import Fraction
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _
from moneyed import Money

from materials.core.errors import Refusal
from materials.models import Business, Person
from materials.services import audit, once
from materials.services.pricelist import saved
from quotes.core.layer_units import with_units
from quotes.models import Allowance, BuildUp, HandLine, Overrule, Visit
from quotes.queries.estimating import overrule_fault
from quotes.services.visits import check_visit


@transaction.atomic
def save_build_up(
    *,
    visit: Visit | None,
    key_name: str,
    name: str,
    layers: Sequence[Mapping[str, Any]],
) -> BuildUp:
    """Store a build-up under its key: a visit's own, or a template without visit.

    Raises: Refusal with the layer's path for whatever the core does not understand.
    """
    row = BuildUp.objects.filter(visit=visit, key=key_name).first() or BuildUp(
        visit=visit, key=key_name
    )
    row.name, row.layers = name.strip(), [dict(layer) for layer in layers]
    row.version += 0 if row._state.adding else 1
    saved(row)
    if visit is not None:
        check_visit(visit)
    return row


def take_build_up(
    *, visit: Visit, key_name: str, name: str, template: BuildUp | None
) -> BuildUp:
    """Copy one of the business's build-ups into a visit, or begin an empty one.

    Its bare lengths are the business's own; they say so in a visit of another system.
    """
    layers = [] if template is None else template.layers
    home = Business.objects.values_list("system", flat=True).get(pk=1)
    if home != visit.system:
        layers = with_units(layers, system=home)
    return save_build_up(visit=visit, key_name=key_name, name=name, layers=layers)


@transaction.atomic
def save_terms(
    *, visit: Visit, terms: Mapping[str, Any], labour: Sequence[Mapping[str, Any]]
) -> Visit:
    """Store scope, exclusions, deposit and the operations added by hand."""
    visit.facts = {**visit.facts, "terms": dict(terms), "labour": list(labour)}
    visit.version += 1
    saved(visit)
    check_visit(visit)
    return visit


@transaction.atomic
def add_labour(
    *,
    visit: Visit,
    operation: str,
    quantity: Fraction,
    note: str = "",
    person: Person,
    key: str,
) -> Visit:
    """Add an operation to a visit by hand."""
    claim = once(
        key=key,
        purpose="add labour",
        person=person,
        payload={
            "visit": visit.pk,
            "operation": operation,
            "quantity": str(quantity),
            "note": note,
        },
    )
    if claim.outcome:
        return Visit.objects.get(pk=claim.outcome)
    row = {"operation": operation, "quantity": str(quantity)}
    row |= {"note": note} if note else {}
    save_terms(
        visit=visit,
        terms=visit.facts.get("terms", {}),
        labour=[*visit.facts.get("labour", []), row],
    )
    claim.settle(visit.pk)
    return visit


@transaction.atomic
def remove_labour(
    *, visit: Visit, place: int, version: int | None, person: Person
) -> Visit:
    """Take back an operation added by hand, by its place in the list.

    Raises: Refusal when the visit moved on since the page was opened: the same place
    may be another operation by now.
    """
    row = Visit.objects.select_for_update().get(pk=visit.pk)
    added = row.facts.get("labour", [])
    if version != row.version or not 0 <= place < len(added):
        raise Refusal(
            _("The visit was changed meanwhile; look at the list and press again."),
            field="version",
        )
    audit(
        action="remove choice",
        subject=f"visit {row.pk}",
        person=person,
        facts={"what": added[place]},
    )
    rest = [*added[:place], *added[place + 1 :]]
    return save_terms(visit=row, terms=row.facts.get("terms", {}), labour=rest)


@dataclass(frozen=True, slots=True, kw_only=True)
class HandLineEntry:
    """A line typed by hand, as entered; cost and price are of one unit."""

    text: str
    quantity: Fraction
    unit_price: Money
    unit: str = ""
    unit_cost: Money | None = None
    cost_class: str = "labour"


@transaction.atomic
def add_hand_line(
    *, visit: Visit, entry: HandLineEntry, person: Person, key: str
) -> HandLine:
    """Add a line typed by hand."""
    claim = once(
        key=key,
        purpose="add hand line",
        person=person,
        payload={
            "visit": visit.pk,
            "entry": str(entry),
        },
    )
    if claim.outcome:
        return HandLine.objects.get(pk=claim.outcome)
    row = HandLine(
        visit=visit,
        position=visit.hand_lines.count(),
        text=entry.text.strip(),
        quantity=entry.quantity,
        unit=entry.unit,
        unit_price=entry.unit_price,
        unit_cost=entry.unit_cost,
        cost_class=entry.cost_class,
    )
    saved(row)
    _moved_on(visit)
    claim.settle(row.pk)
    return row


@transaction.atomic
def add_allowance(
    *,
    visit: Visit,
    nature: str,
    text: str,
    amount: Money,
    person: Person,
    key: str,
) -> Allowance:
    """Set a sum aside for goods still to be chosen, or work not yet definable."""
    claim = once(
        key=key,
        purpose="add allowance",
        person=person,
        payload={
            "visit": visit.pk,
            "nature": nature,
            "text": text,
            "amount": str(amount.amount),
        },
    )
    if claim.outcome:
        return Allowance.objects.get(pk=claim.outcome)
    row = Allowance(
        visit=visit,
        nature=nature,
        position=visit.allowances.count(),
        text=text.strip(),
        amount=amount,
    )
    saved(row)
    _moved_on(visit)
    claim.settle(row.pk)
    return row


@dataclass(frozen=True, slots=True, kw_only=True)
class OverruleEntry:
    """The owner's figure for a line, as typed, and why."""

    line: str
    what: str
    value: str
    reason: str


@transaction.atomic
def overrule(
    *, visit: Visit, entry: OverruleEntry, on: date, person: Person
) -> Overrule:
    """Set the owner's figure in place of a computed one; the last word stands.

    Raises: Refusal for a line the estimate of the day does not have, a figure that
    line does not have, or a value that is none.
    """
    line, what = entry.line, entry.what
    row = Overrule.objects.filter(visit=visit, line=line, what=what).first()
    row = row or Overrule(visit=visit, line=line, what=what)
    row.value, row.reason = entry.value.strip(), entry.reason.strip()
    row.person = person
    saved(row)
    _moved_on(visit)
    fault = overrule_fault(visit, line=line, what=what, on=on)
    if fault is not None:
        raise fault
    audit(
        action="overrule",
        subject=f"visit {visit.pk}",
        person=person,
        facts=asdict(entry),
    )
    return row


@transaction.atomic
def remove_choice(*, choice: HandLine | Allowance | Overrule, person: Person) -> None:
    """Take back a hand-typed line, an allowance or an overrule."""
    visit = choice.visit
    audit(
        action="remove choice",
        subject=f"visit {visit.pk}",
        person=person,
        facts={"what": str(choice)},
    )
    choice.delete()
    _moved_on(visit)


def _moved_on(visit: Visit) -> None:
    """Move the visit's version on and let the core read it again."""
    visit.version += 1
    visit.save(update_fields=["version", "changed_at"])
    check_visit(visit)

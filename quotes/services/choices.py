"""Build-ups of a visit, its terms, hand-typed lines, allowances and overrules."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from django.db import transaction
from moneyed import Money

from materials.models import Person
from materials.services import audit, once
from materials.services.pricelist import saved
from quotes.models import Allowance, BuildUp, HandLine, Overrule, Visit
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


@transaction.atomic
def overrule(
    *,
    visit: Visit,
    line: str,
    what: str,
    value: str,
    reason: str,
    person: Person,
) -> Overrule:
    """Set the owner's figure in place of a computed one; the last word stands."""
    row = Overrule.objects.filter(visit=visit, line=line, what=what).first()
    row = row or Overrule(visit=visit, line=line, what=what)
    row.value, row.reason, row.person = value.strip(), reason.strip(), person
    saved(row)
    _moved_on(visit)
    audit(
        action="overrule",
        subject=f"visit {visit.pk}",
        person=person,
        facts={"line": line, "what": what, "value": value, "reason": reason},
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

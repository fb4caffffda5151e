"""The price list's writes: suppliers, materials, packs, prices with a date."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from django.core.exceptions import ValidationError
from django.db import models, transaction
from django.utils.translation import gettext as _
from moneyed import Money

from materials.core.errors import Refusal
from materials.core.kind import read_facts
from materials.core.kinds import kind_of
from materials.core.pricelist import kept_content
from materials.models import Business, Material, Pack, Person, Price, Supplier
from materials.services.keeping import audit, once


@dataclass(frozen=True, slots=True, kw_only=True)
class PackEntry:
    """One pack as entered, with its first price."""

    supplier: Supplier
    label: str
    content: Fraction
    supplier_code: str = ""
    lead_days: int = 0
    special_order: bool = False
    returnable: bool = True
    restocking: Fraction = Fraction(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceEntry:
    """One price as entered: from when, how much, where it came from."""

    valid_from: date
    amount: Money
    valid_until: date | None = None
    least_packs: int = 1
    origin: str = ""


def saved(row: models.Model) -> None:
    """Check a row by its own rules and save it; a fault becomes a sentence.

    Raises: Refusal naming the first field at fault.
    """
    try:
        row.full_clean()
    except ValidationError as error:
        field, sentences = next(iter(error.message_dict.items()))
        raise Refusal(
            " ".join(sentences), field="" if field == "__all__" else field
        ) from error
    row.save()


@transaction.atomic
def add_supplier(*, name: str, person: Person | None, key: str) -> Supplier:
    """Add a merchant; one already there by that name is returned."""
    claim = once(key=key, purpose="add supplier", person=person, payload={"name": name})
    if claim.outcome:
        return Supplier.objects.get(pk=claim.outcome)
    supplier = Supplier.objects.filter(name__iexact=name.strip()).first()
    if supplier is None:
        supplier = Supplier(name=name.strip())
        saved(supplier)
        audit(action="add supplier", subject=f"supplier {supplier.pk}", person=person)
    claim.settle(supplier.pk)
    return supplier


@transaction.atomic
def add_material(
    *,
    code: str,
    name: str,
    kind: str,
    facts: Mapping[str, object],
    person: Person | None,
    key: str,
) -> Material:
    """Add a product; its kind reads the facts first.

    Raises: Refusal for an unknown kind, a fact that is missing or not understood, or
    a code already taken.
    """
    claim = once(
        key=key,
        purpose="add material",
        person=person,
        payload={"code": code, "name": name, "kind": kind, "facts": dict(facts)},
    )
    if claim.outcome:
        return Material.objects.get(pk=claim.outcome)
    check_facts(kind, facts)
    material = Material(
        code=code.strip(), name=name.strip(), kind=kind, facts=dict(facts)
    )
    saved(material)
    audit(action="add material", subject=f"material {material.pk}", person=person)
    claim.settle(material.pk)
    return material


@transaction.atomic
def change_material(
    *, material: Material, name: str, facts: Mapping[str, object], person: Person
) -> Material:
    """Change a product's name and facts; quotes already offered keep theirs."""
    check_facts(material.kind, facts)
    before = {"name": material.name, "facts": material.facts}
    material.name = name.strip()
    material.facts = dict(facts)
    saved(material)
    audit(
        action="change material",
        subject=f"material {material.pk}",
        person=person,
        facts={"before": before},
    )
    return material


def check_facts(kind: str, facts: Mapping[str, object]) -> None:
    """Let the kind read the facts, and refuse what it refuses."""
    system = Business.objects.get(pk=1).system
    read_facts(kind_of(kind), facts, system=system)


@transaction.atomic
def add_pack(
    *,
    material: Material,
    entry: PackEntry,
    price: PriceEntry,
    person: Person | None,
    key: str,
) -> Pack:
    """Add a pack size of a supplier with its first price."""
    claim = once(
        key=key,
        purpose="add pack",
        person=person,
        payload={"material": material.pk, "entry": str(entry), "price": str(price)},
    )
    if claim.outcome:
        return Pack.objects.get(pk=claim.outcome)
    pack = Pack(
        material=material,
        supplier=entry.supplier,
        label=entry.label,
        content=kept_content(entry.content),
        supplier_code=entry.supplier_code,
        lead_days=entry.lead_days,
        special_order=entry.special_order,
        returnable=entry.returnable,
        restocking=entry.restocking,
    )
    saved(pack)
    _enter_price(pack, price, person)
    claim.settle(pack.pk)
    return pack


@transaction.atomic
def change_price(
    *, pack: Pack, entry: PriceEntry, person: Person | None, key: str
) -> Price:
    """Enter a price from a date on; earlier ones stay, to explain earlier quotes.

    A second price for the same pack, date and break replaces the first.
    """
    claim = once(
        key=key,
        purpose="change price",
        person=person,
        payload={"pack": pack.pk, "entry": str(entry)},
    )
    if claim.outcome:
        return Price.objects.get(pk=claim.outcome)
    price = _enter_price(pack, entry, person)
    claim.settle(price.pk)
    return price


def _enter_price(pack: Pack, entry: PriceEntry, person: Person | None) -> Price:
    currency = Business.objects.get(pk=1).currency
    if entry.amount.currency.code != currency:
        raise Refusal(
            _("The price list is in %(currency)s; enter the price in it.")
            % {"currency": currency},
            field="amount",
        )
    price = Price.objects.filter(
        pack=pack, valid_from=entry.valid_from, least_packs=entry.least_packs
    ).first() or Price(
        pack=pack, valid_from=entry.valid_from, least_packs=entry.least_packs
    )
    before = str(price.amount) if price.pk else ""
    price.amount = entry.amount
    price.valid_until = entry.valid_until
    price.origin = entry.origin
    price.entered_by = person
    saved(price)
    audit(
        action="enter price",
        subject=f"pack {pack.pk}",
        person=person,
        facts={
            "amount": str(entry.amount),
            "from": str(entry.valid_from),
            "before": before,
        },
    )
    return price

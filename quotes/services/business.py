"""Set up the business: who it is, how it measures and taxes, what an hour costs."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from datetime import datetime
from fractions import Fraction
from pathlib import Path
from typing import Any

from django.conf import settings
from django.db import transaction
from django.utils import translation
from django.utils.translation import gettext as _
from moneyed import Money

from materials.core import amounts
from materials.core.errors import Refusal
from materials.models import Business, Person
from materials.services import audit, once
from materials.services.pricelist import saved
from materials.services.starter import take_price_list
from quotes.core.file_node import FileRules, Node
from quotes.core.layout.orders import ASSUMED
from quotes.core.rules_file import read_rules
from quotes.models import BuildUp, Rates

STARTER = Path(settings.BASE_DIR) / "materials" / "starter"


@dataclass(frozen=True, slots=True, kw_only=True)
class BusinessEntry:
    """What the first-run page asks about the business."""

    name: str
    country: str
    currency: str
    system: str
    address: str = ""
    email: str = ""
    phone: str = ""
    trade_line: str = ""
    licence_line: str = ""
    tax_number: str = ""
    bank_lines: str = ""
    tax_name: str = "VAT"
    sales_tax: Fraction = Fraction(0)
    sales_tax_on: str = Business.TaxedSales.EVERYTHING
    purchase_tax: Fraction = Fraction(0)
    purchase_tax_recoverable: bool = True
    language: str = "en-gb"
    paper: str = "a4"


@dataclass(frozen=True, slots=True, kw_only=True)
class RatesEntry:
    """What an hour costs and what is added; shares are fractions."""

    setter_wage: Money
    helper_wage: Money
    overhead_per_hour: Money
    overhead_yearly: Money | None = None
    productive_hours: Fraction = Fraction(1400)
    hours_per_day: Fraction = Fraction(8)
    travel_per_visit: Money | None = None
    method: str = "markup"
    materials_rate: Fraction = Fraction(0)
    labour_rate: Fraction = Fraction(0)
    other_rate: Fraction = Fraction(0)
    contingency: Fraction = Fraction(0)
    order_certainty: Fraction = ASSUMED.certainty
    saved_of_eight: int = ASSUMED.habits.saved
    broken_cut: Fraction = ASSUMED.habits.broken_a_cut
    broken_whole: Fraction = ASSUMED.habits.broken_a_whole
    rules: Mapping[str, str] = field(default_factory=dict)
    minimum_charge: Money | None = None
    deposit: Fraction = Fraction(0)
    holds_days: int = 30
    payment_days: int = 14
    exclusions: str = ""
    terms: str = ""


def overhead_per_hour(yearly: Money, productive_hours: Fraction) -> Money:
    """Return yearly overhead ÷ productive hours, half up to four decimals."""
    return amounts.unit_price(
        amounts.exact(yearly) / productive_hours, yearly.currency.code
    )


@transaction.atomic
def set_up_business(
    *,
    entry: BusinessEntry,
    rates: RatesEntry,
    at: datetime,
    person: Person | None,
    key: str,
    is_demo: bool = False,
) -> Business:
    """Open the business with its rates, and its starter price list and build-ups.

    Done once: a second time the business that is there is changed instead, its price
    list left alone.
    """
    claim = once(
        key=key,
        purpose="set up business",
        person=person,
        payload={"entry": str(entry), "rates": str(rates)},
    )
    if claim.outcome:
        return Business.objects.get(pk=1)
    business = Business.objects.filter(pk=1).first() or Business(
        pk=1, set_up_at=at, time_zone=settings.TIME_ZONE
    )
    fresh = business._state.adding
    for name, value in asdict(entry).items():
        setattr(business, name, value)
    business.is_demo = is_demo
    saved(business)
    row = Rates.objects.filter(pk=1).first() or Rates(pk=1)
    for name in RatesEntry.__dataclass_fields__:
        setattr(row, name, getattr(rates, name))
    _check_rules(rates.rules, entry)
    saved(row)
    if fresh:
        with translation.override(entry.language):
            take_starter(person=person, system=entry.system)
    audit(action="set up business", subject="business", person=person)
    claim.settle(1)
    return business


def _check_rules(rules: Mapping[str, str], entry: BusinessEntry) -> None:
    """Let the core read the rules for joints, and refuse what it refuses."""
    plain = FileRules(system=entry.system, currency=entry.currency)
    try:
        read_rules(Node.of({"rules": rules}, "", plain))
    except Refusal as refusal:
        field = f"rule_{refusal.field.rpartition('.')[2]}"
        raise type(refusal)(
            refusal.sentence.replace("rules.", ""), field=field
        ) from refusal


def take_starter(*, person: Person | None, system: str) -> None:
    """Take in the starter price list and build-ups of a measuring system.

    Their names are kept in the language that is spoken now: they are the business's own
    from then on.
    """
    starter = _read(STARTER / f"{system}.json")
    listed = starter["price_list"]
    products = [_named(row) for row in listed["materials"]]
    take_price_list(listed={**listed, "materials": products}, person=person)
    for key, build_up in starter["build_ups"].items():
        saved(BuildUp(key=key, name=_(build_up["name"]), layers=build_up["layers"]))


def _named(row: Mapping[str, Any]) -> dict[str, Any]:
    """Return a product of a starter list with its name and finish translated."""
    facts = {
        name: _(fact) if name in ("colour", "finish") else fact
        for name, fact in row.get("facts", {}).items()
    }
    return {**row, "name": _(row["name"]), "facts": facts}


def _read(place: Path) -> Mapping[str, Any]:
    with place.open(encoding="utf-8") as text:
        starter: Mapping[str, Any] = json.load(text)
    return starter

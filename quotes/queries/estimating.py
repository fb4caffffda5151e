"""A stored visit, priced: rows in, records out, nothing written."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import Any

from materials.core.errors import Refusal
from materials.core.need import MaterialFacts
from materials.core.plans.board_records import digest_of
from materials.core.pricelist import catalogue_on
from materials.core.quantities import decimal_text
from materials.models import Business
from materials.queries import searches_of, stored_price_list, with_plans
from materials.queries.rack import usable_rack, with_rack
from quotes.core.board_problems import board_plans, board_problems, racked_by
from quotes.core.choices import Overrule, OwnOutput, Rates
from quotes.core.document import Party, Quote
from quotes.core.estimate import Estimate, estimate, priced_takeoff
from quotes.core.joint_rules import usual_in
from quotes.core.offering import Heading, quote_of
from quotes.core.takeoff import take_off
from quotes.core.visit import Visit as VisitRecord
from quotes.core.visit_file import read_visit
from quotes.models import OperationRate, Revision, Visit
from quotes.models import Rates as StoredRates
from quotes.queries.visit_files import visit_file
from quotes.queries.visit_prices import visit_catalogue

VERSION = "0.1.0"

_OVERRULE = re.compile(r"overrules\[([0-9]+)\]")


def stored_rates() -> Rates:
    """Return the business's rates and tax as the core sees them: three queries."""
    row = StoredRates.objects.get(pk=1)
    business = Business.objects.get(pk=1)
    return Rates(
        setter_wage=row.setter_wage,
        helper_wage=row.helper_wage,
        overhead_per_hour=row.overhead_per_hour,
        hours_per_day=row.hours_per_day,
        travel_per_visit=row.travel_per_visit,
        method=row.method,
        materials_rate=row.materials_rate,
        labour_rate=row.labour_rate,
        other_rate=row.other_rate,
        contingency=row.contingency,
        minimum_charge=row.minimum_charge,
        round_to=row.round_to,
        tax_name=business.tax_name,
        sales_tax=business.sales_tax,
        purchase_tax=business.purchase_tax,
        purchase_tax_recoverable=business.purchase_tax_recoverable,
        tax_basis=business.tax_basis,
        taxed_classes=taxed_classes(business),
        outputs=tuple(
            OwnOutput(
                operation=output.operation,
                hours=output.hours_per_unit,
                helper_hours=output.helper_hours_per_unit,
            )
            for output in OperationRate.objects.order_by("operation")
        ),
    )


def taxed_classes(business: Business) -> tuple[str, ...]:
    """Return the cost classes that carry tax on sales; none named means all."""
    goods_only = business.sales_tax_on == Business.TaxedSales.MATERIALS
    return ("materials",) if goods_only else ()


def stored_file(visit: Visit) -> dict[str, Any]:
    """Return the visit as a file; terms it does not set are the business's.

    So are how sure its tile is ordered, and which rules for joints hold.
    """
    currency, country = Business.objects.values_list("currency", "country").get(pk=1)
    plain = visit_file(visit, currency=currency)
    row = StoredRates.objects.filter(pk=1).first()
    if row is not None:
        plain["terms"] = {**_usual_terms(row), **plain["terms"]}
        plain["ordering"] = {
            "certainty": decimal_text(row.order_certainty, places=6),
            "saved_of_eight": row.saved_of_eight,
            "broken_cut": decimal_text(row.broken_cut, places=6),
            "broken_whole": decimal_text(row.broken_whole, places=6),
        }
        plain["rules"] = {"of": usual_in(country), **row.rules}
    return plain


def _usual_terms(row: StoredRates) -> dict[str, Any]:
    return {
        "deposit": decimal_text(row.deposit, places=6),
        "holds_days": row.holds_days,
        "payment_days": row.payment_days,
        "exclusions": [line for line in row.exclusions.splitlines() if line.strip()],
        "text": row.terms,
    }


def visit_record(visit: Visit) -> VisitRecord:
    """Return the stored visit as the core reads it.

    Raises: Refusal with the path of what is not understood.
    """
    return read_visit(stored_file(visit))


def estimate_of(visit: Visit, *, on: date) -> Estimate:
    """Return the visit priced at the stored list and rates of a date.

    Raises: Refusal when something is unknown, has no price or cannot be computed.
    """
    return priced(visit, on=on)


def catalogue_of(
    on: date, record: VisitRecord | None = None, visit: Visit | None = None
) -> dict[str, MaterialFacts]:
    """Return the stored price list as sold on a date: five queries.

    With a visit, only what it names or may choose from. Where the business wants its
    rack used up, materials know what of them is kept and free, or reserved for the job
    of this `visit`.
    """
    rack = usable_rack(None if visit is None else visit.uid)
    if record is None:
        return with_rack(catalogue_on(stored_price_list(on=on), on), rack)
    return with_rack(visit_catalogue(record, on), rack)


def agreed_inputs(revision: Revision) -> tuple[VisitRecord, dict[str, MaterialFacts]]:
    """Return what a revision was computed from: visit, goods of its date, its rack.

    Raises: Refusal where what was frozen cannot be read any more.
    """
    plain = dict(revision.inputs)
    rack, plans = plain.pop("rack", []), plain.pop("plans", {})
    plain.pop("racked", None)
    record = read_visit(plain)
    catalogue = visit_catalogue(record, revision.priced_on)
    return record, with_plans(with_rack(catalogue, rack), plans)


def racked_of(revision: Revision) -> list[str]:
    """Return the pieces of the rack that a revision's plans take, by key.

    A revision from before this was noted is worked out once more.
    """
    if "racked" in revision.inputs or not revision.inputs.get("rack"):
        return list(revision.inputs.get("racked", ()))
    try:
        return racked_by(take_off(*agreed_inputs(revision)).needs)
    except Refusal:
        return []


def with_kept_plans(
    record: VisitRecord, catalogue: Mapping[str, MaterialFacts]
) -> dict[str, MaterialFacts]:
    """Return a catalogue that brings the plans deeper searches found for a visit.

    One query, none for a visit without boards.

    Raises: Refusal as the takeoff does.
    """
    found = searches_of(board_problems(record, catalogue))
    plans = {digest: row.record for digest, row in found.items() if row.record}
    return with_plans(catalogue, plans)


def inputs_of(visit: Visit, found: Estimate) -> dict[str, Any]:
    """Return what an estimate was computed from: visit, rack, and its board plans.

    `racked` are the pieces of the rack that its plans take, to be reserved once the
    quote is accepted.
    """
    needs = found.takeoff.needs
    plans = board_plans(needs)
    return {
        **stored_file(visit),
        "rack": usable_rack(visit.uid),
        "racked": racked_by(needs),
        "plans": {digest_of(plan.problem): plan.record for plan in plans},
    }


def priced(
    visit: Visit, *, on: date, catalogue: Mapping[str, MaterialFacts] | None = None
) -> Estimate:
    """Return the visit priced, from a catalogue where it was read already."""
    return priced_without_unused(visit, catalogue=catalogue, on=on)[0]


def priced_without_unused(
    visit: Visit, *, on: date, catalogue: Mapping[str, MaterialFacts] | None = None
) -> tuple[Estimate, tuple[Overrule, ...]]:
    """Return the visit priced, and the owner's figures that no line could take.

    A product that was changed, or a region taken out, leaves the figure set for it
    without a line. That must not close the price page: the rest is priced without it,
    and the page says which figure stands idle. A visit file is held to more: there a
    line that is not known is refused.

    Raises: Refusal for anything else that cannot be priced.
    """
    record, rates = visit_record(visit), stored_rates()
    if catalogue is None:
        catalogue = catalogue_of(on, record, visit)
    takeoff = take_off(record, with_kept_plans(record, catalogue))
    unused: list[Overrule] = []
    while True:
        try:
            found = priced_takeoff(
                record, takeoff, catalogue=catalogue, rates=rates, on=on
            )
        except Refusal as refusal:
            named = _OVERRULE.match(refusal.field)
            if named is None:
                raise
            place = int(named[1])
            unused.append(record.overrules[place])
            rest = (*record.overrules[:place], *record.overrules[place + 1 :])
            record = replace(record, overrules=rest)
        else:
            return found, tuple(unused)


def overrule_fault(visit: Visit, *, line: str, what: str, on: date) -> Refusal | None:
    """Return why a stored figure cannot stand for its line, or None where it can.

    None also where the visit has no price for another reason: the figure may be right.
    """
    try:
        record = visit_record(visit)
        catalogue = catalogue_of(on, record, visit)
        alone = [
            one for one in record.overrules if (one.line, one.what) == (line, what)
        ]
        estimate(replace(record, overrules=tuple(alone)), catalogue, stored_rates(), on)
    except Refusal as refusal:
        return refusal if _OVERRULE.match(refusal.field) else None
    return None


def business_party() -> Party:
    """Return the business as it stands over its documents."""
    row = Business.objects.get(pk=1)
    lines = (
        row.trade_line,
        *row.address.splitlines(),
        ", ".join(part for part in (row.phone, row.email) if part),
        row.licence_line,
        row.tax_number,
    )
    return Party(name=row.name, lines=tuple(line for line in lines if line))


def draft_document(found: Estimate) -> Quote:
    """Return the quote of a stored visit's estimate as it would be offered."""
    return quote_of(found, Heading(business=business_party(), program_version=VERSION))

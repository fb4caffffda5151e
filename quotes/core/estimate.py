"""From a visit to an estimate: what it takes, costs and is sold for on a date.

`estimate` is a pure function of frozen records: equal input gives an equal result, in
any process. Its figures are lines, each with the working that led to it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from moneyed import Money

from materials.core import amounts
from materials.core.errors import MixedCurrencies, Refusal
from materials.core.need import MaterialFacts, Step
from materials.core.quantities import decimal_text
from quotes.core.cautions import STRIPPING, cautions_of, stop_for_asbestos
from quotes.core.choices import Rates
from quotes.core.document import COST_CLASSES, Line, Option, Totals
from quotes.core.hand_lines import allowance_lines, hand_lines
from quotes.core.labour import OperationHours, operation_hours
from quotes.core.labour_lines import (
    Wages,
    days_on_site,
    labour_line,
    overhead_line,
    role_hours,
    stopped_line,
    travel_line,
)
from quotes.core.labour_lines import checked as checked_wages
from quotes.core.material_lines import Terms, material_line
from quotes.core.offer import (
    Adjusting,
    adjustments,
    contingency_line,
    offered_lines,
)
from quotes.core.overrules import Overrules
from quotes.core.pricing import (
    Addition,
    class_totals,
    deposit_shares,
    margin_of,
    percent,
    stages,
)
from quotes.core.takeoff import Caution, Takeoff, take_off
from quotes.core.tax import SalesTax, tax_lines
from quotes.core.tax import checked as checked_tax
from quotes.core.visit import Visit
from quotes.core.work import extra_tasks, tasks_of, trimmed_shares


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """What a visit comes to on a date: needs, lines, totals, cautions.

    `takeoff` holds what was measured and needed; `option` the lines and totals as
    they go into a quote.
    """

    visit: Visit
    on: date
    takeoff: Takeoff
    option: Option
    tax: SalesTax
    cautions: tuple[Caution, ...]
    by_client: tuple[str, ...]


def estimate(
    visit: Visit,
    catalogue: Mapping[str, MaterialFacts],
    rates: Rates,
    on: date,
) -> Estimate:
    """Return what a visit comes to with the prices of a date.

    Raises: a Refusal that names the field: a shape that is none, a product the list
    does not have, a price that is missing on the date, an overrule no line can take.
    """
    return priced_takeoff(
        visit, take_off(visit, catalogue), catalogue=catalogue, rates=rates, on=on
    )


def priced_takeoff(
    visit: Visit,
    takeoff: Takeoff,
    *,
    catalogue: Mapping[str, MaterialFacts],
    rates: Rates,
    on: date,
) -> Estimate:
    """Return what a takeoff comes to: `estimate` without measuring again."""
    overrules = Overrules(visit.overrules)
    tax = checked_tax(_sales_tax(rates))
    wages = checked_wages(_wages(rates, overrules, visit.currency))
    work = _work_lines(visit, takeoff, catalogue, rates, wages)
    bought = _material_lines(visit, takeoff, catalogue, rates, on, overrules)
    lines = [*bought, *work]
    contingency = contingency_line(
        lines,
        share=rates.contingency,
        addition=wages.addition,
        code=visit.currency,
    )
    lines += [contingency] if contingency else []
    lines += hand_lines(visit.hand_lines, code=visit.currency, overrules=overrules)
    lines += allowance_lines(visit.allowances, code=visit.currency, overrules=overrules)
    lines += adjustments(lines, _adjusting(visit, rates))
    overrules.check_used(lines)
    return Estimate(
        visit=visit,
        on=on,
        takeoff=takeoff,
        option=_option(visit, lines, tax, wages),
        tax=tax,
        cautions=cautions_of(takeoff, lines=lines, site=visit.site),
        by_client=_by_client(lines),
    )


def _sales_tax(rates: Rates) -> SalesTax:
    untaxed = (
        {name for name in COST_CLASSES if name not in rates.taxed_classes}
        if rates.taxed_classes
        else set()
    )
    return SalesTax(
        name=rates.tax_name,
        rate=rates.sales_tax,
        basis=rates.tax_basis,
        by_class={name: Fraction(0) for name in sorted(untaxed)},
    )


def _wages(rates: Rates, overrules: Overrules, code: str) -> Wages:
    named = {
        "setter_wage": rates.setter_wage,
        "helper_wage": rates.helper_wage,
        "overhead_per_hour": rates.overhead_per_hour,
        "travel_per_visit": rates.travel_per_visit,
        "minimum_charge": rates.minimum_charge,
        "round_to": rates.round_to,
    }
    for name, money in named.items():
        if money is not None and money.currency.code != code:
            raise MixedCurrencies(
                f"{money} is not in {code}; one quote has one currency.",
                field=f"rates.{name}",
            )
    return Wages(
        setter=rates.setter_wage,
        helper=rates.helper_wage,
        overhead=rates.overhead_per_hour,
        hours_per_day=rates.hours_per_day,
        travel=rates.travel_per_visit,
        addition=Addition(
            method=rates.method,
            materials=rates.materials_rate,
            labour=rates.labour_rate,
            other=rates.other_rate,
        ),
        overrules=overrules,
        code=code,
    )


def _adjusting(visit: Visit, rates: Rates) -> Adjusting:
    return Adjusting(
        code=visit.currency,
        discount=visit.terms.discount,
        round_to=rates.round_to,
        minimum=rates.minimum_charge,
    )


def _material_lines(
    visit: Visit,
    takeoff: Takeoff,
    catalogue: Mapping[str, MaterialFacts],
    rates: Rates,
    on: date,
    overrules: Overrules,
) -> list[Line]:
    terms = Terms(
        catalogue=catalogue,
        on=on,
        code=visit.currency,
        addition=_wages(rates, overrules, visit.currency).addition,
        overrules=overrules,
        purchase_tax=(
            Fraction(0) if rates.purchase_tax_recoverable else rates.purchase_tax
        ),
        trimmed=trimmed_shares(takeoff.slopes),
    )
    lines = []
    for need in takeoff.needs:
        try:
            lines.append(material_line(need, terms))
        except Refusal as refusal:
            if refusal.field:
                raise
            raise refusal.at(f"price_list.{need.material}") from refusal
    return lines


def _work_lines(
    visit: Visit,
    takeoff: Takeoff,
    catalogue: Mapping[str, MaterialFacts],
    rates: Rates,
    wages: Wages,
) -> list[Line]:
    tasks = tasks_of(takeoff, catalogue=catalogue, site=visit.site, system=visit.system)
    hours = operation_hours((*tasks, *extra_tasks(visit.labour)), rates.outputs)
    stopped = stop_for_asbestos(visit.site, tested=visit.site.asbestos_test)
    lines = [
        stopped_line(one, stopped, wages)
        if stopped and one.operation.key in STRIPPING
        else _labour_line(one, wages)
        for one in hours
    ]
    overhead = overhead_line(lines, wages)
    travel = travel_line(lines, wages)
    return [*lines, *(line for line in (overhead, travel) if line is not None)]


def _labour_line(hours: OperationHours, wages: Wages) -> Line:
    try:
        return labour_line(hours, wages)
    except Refusal as refusal:
        if refusal.field:
            raise
        raise refusal.at(f"labour.{hours.operation.key}") from refusal


def _option(visit: Visit, lines: Sequence[Line], tax: SalesTax, wages: Wages) -> Option:
    code = visit.currency
    offered = offered_lines(lines, tax=tax, code=code)
    taxes = tax_lines(offered, basis=tax.basis, code=code)
    net = amounts.total((line.price for line in lines), code)
    tax_sum = amounts.total((line.tax for line in taxes), code)
    gross = amounts.total((net, tax_sum), code)
    agreed = [
        (f"stage-{place}", stage.label, stage.share)
        for place, stage in enumerate(visit.terms.stages, start=1)
    ]
    return Option(
        key="A",
        label=visit.title,
        lines=tuple(lines),
        offered=offered,
        taxes=taxes,
        classes=class_totals(lines, code=code),
        totals=_totals(lines, wages, net=net, tax=tax_sum, gross=gross),
        stages=stages(gross, agreed or deposit_shares(visit.terms.deposit)),
    )


def _totals(
    lines: Sequence[Line], wages: Wages, *, net: Money, tax: Money, gross: Money
) -> Totals:
    code = wages.code
    contingency = amounts.total(
        (line.cost for line in lines if line.cost_class == "contingency"), code
    )
    whole = amounts.total((line.cost for line in lines), code)
    cost = amounts.total((whole, -contingency), code)
    profit = amounts.total((net, -whole), code)
    return Totals(
        cost=cost,
        contingency=contingency,
        net=net,
        tax=tax,
        gross=gross,
        profit=profit,
        margin=margin_of(net, whole),
        trimmed_off=amounts.total(
            (line.trimmed_off for line in lines if line.trimmed_off is not None), code
        ),
        setter_hours=role_hours(lines, "setter"),
        helper_hours=role_hours(lines, "helper"),
        days=days_on_site(lines, wages),
        working=_totals_working(cost, contingency, net, tax, profit),
    )


def _totals_working(
    cost: Money, contingency: Money, net: Money, tax: Money, profit: Money
) -> tuple[Step, ...]:
    plain = amounts.plain
    gross = amounts.total((net, tax), net.currency.code)
    spent = amounts.total((cost, contingency), net.currency.code)
    return (
        Step(label="Price before tax", formula="sum of all lines", result=plain(net)),
        Step(
            label="Price with tax",
            formula=f"{plain(net)} + {plain(tax)}",
            result=plain(gross),
        ),
        Step(
            label="Earned",
            formula=f"{plain(net)} − {plain(cost)} cost − {plain(contingency)} "
            "contingency",
            result=f"{plain(profit)}, {percent(margin_of(net, spent))} of the price",
        ),
    )


def _by_client(lines: Iterable[Line]) -> tuple[str, ...]:
    """Return what the client has to order, in words with packs and need."""
    words = []
    for line in lines:
        if line.supplied_by != "client" or not line.material:
            continue
        packs = " + ".join(f"{pack.count} × {pack.label}" for pack in line.packs)
        unit = "pieces" if line.unit == "each" else line.unit
        need = f"{decimal_text(line.quantity, places=2)} {unit}"
        words.append(
            f"{line.text}: {packs} (need {need})" if packs else f"{line.text}: {need}"
        )
    return tuple(words)

"""What must be bought, and what it comes to: the estimate as pages show it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext
from moneyed import Money

from materials.core.errors import Refusal
from materials.core.need import Need, Step
from materials.core.packaging import in_own_unit, own_unit
from materials.core.plans.records import MaterialPlan, plans_of
from materials.core.quantities import decimal_text
from materials.presenters import core_words, money_words, percent_words
from quotes.core.board_problems import board_plans
from quotes.core.cautions import for_client, for_shop
from quotes.core.document import Line, Option, Overruled, Stage, TaxLine, Totals
from quotes.core.estimate import Estimate
from quotes.core.pricing import margin_of
from quotes.models import Visit
from quotes.presenters.plans import plan_svgs
from quotes.presenters.racked import RackNotes, notes_for, plan_notes
from quotes.queries.estimating import priced_without_unused

CLASS_WORDS = {
    "materials": gettext_lazy("Materials, at packs"),
    "labour": gettext_lazy("Labour"),
    "hire": gettext_lazy("Hire"),
    "disposal": gettext_lazy("Disposal"),
    "subcontract": gettext_lazy("Work by others"),
    "travel": gettext_lazy("Travel"),
    "overhead": gettext_lazy("Overhead"),
    "contingency": gettext_lazy("Contingency, set aside"),
    "adjustment": gettext_lazy("Discount, rounding, least charge"),
    "other": gettext_lazy("Other"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class LineRow:
    """One line of the estimate."""

    key: str
    text: str
    need: str
    packs: str
    left: str
    cost: Money
    price: Money
    hours: str
    trimmed: Money | None
    steps: tuple[Step, ...]
    overruled: tuple[Overruled, ...]
    supplied_by: str
    said: str = ""
    bound: str = ""
    svgs: tuple[str, ...] = ()
    cost_word: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ClassRow:
    """One cost class with its lines; no cost for what is only set aside."""

    word: str
    cost: Money | None
    price: Money
    lines: tuple[LineRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class EstimateSheet:
    """The estimate of a visit, or the sentence that says why there is none."""

    refused: str = ""
    field: str = ""
    classes: tuple[ClassRow, ...] = ()
    bought: tuple[LineRow, ...] = ()
    by_client: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    """What to put right before it is offered or bought; the client never reads it."""
    cautions: tuple[str, ...] = ()
    net: Money | None = None
    tax: Money | None = None
    gross: Money | None = None
    cost: Money | None = None
    contingency: Money | None = None
    profit: Money | None = None
    margin: str = ""
    margin_unspent: str = ""
    unused: frozenset[tuple[str, str]] = frozenset()
    hours: str = ""
    days: int = 0
    trimmed: Money | None = None
    taxes: tuple[TaxLine, ...] = ()
    stages: tuple[Stage, ...] = ()
    steps: tuple[Step, ...] = ()
    boards: tuple[MaterialPlan, ...] = ()


def estimate_sheet(visit: Visit, on: date) -> EstimateSheet:
    """Return a visit's estimate on a date; a refusal becomes its sentence."""
    try:
        found, unused = priced_without_unused(visit, on=on)
    except Refusal as refusal:
        return EstimateSheet(refused=refusal.sentence, field=refusal.field)
    return replace(
        sheet_of(found),
        boards=board_plans(found.takeoff.needs),
        unused=frozenset((one.line, one.what) for one in unused),
    )


def notes_of(visit: Visit, on: date) -> tuple[str, ...]:
    """Return what to put right before a visit's quote is offered.

    What cannot be priced is said where it is priced; here it has no notes.
    """
    try:
        found, _unused = priced_without_unused(visit, on=on)
    except Refusal:
        return ()
    return for_shop(found.cautions)


def sheet_of(found: Estimate) -> EstimateSheet:
    """Return an estimate as pages show it, drawings of its plans included."""
    option, totals = found.option, found.option.totals
    system = found.visit.system
    plans = {(need.material, need.supplied_by): need for need in found.takeoff.needs}
    notes = notes_for(found.takeoff.needs)
    rows: dict[str, LineRow] = {}
    for line in option.lines:
        need = plans.get((line.material, line.supplied_by)) if line.material else None
        rows[line.key] = _row(
            line,
            system,
            bound=_proof(need, notes) if need else "",
            svgs=plan_svgs(need.plan, system=system, name=line.key) if need else (),
        )
    return EstimateSheet(
        classes=_classes(option, rows),
        bought=tuple(
            _bought(rows[line.key])
            for line in option.lines
            if line.material
            and (line.quantity or line.packs or line.overruled or rows[line.key].svgs)
        ),
        by_client=found.by_client,
        notes=for_shop(found.cautions),
        cautions=for_client(found.cautions),
        net=totals.net,
        tax=totals.tax,
        gross=totals.gross,
        cost=totals.cost,
        contingency=totals.contingency,
        profit=totals.profit,
        margin=percent_words(totals.margin, places=2),
        margin_unspent=percent_words(margin_of(totals.net, totals.cost), places=2),
        hours=_hours_words(totals),
        days=totals.days,
        trimmed=totals.trimmed_off if totals.trimmed_off.amount else None,
        taxes=option.taxes,
        stages=option.stages,
        steps=totals.working,
    )


def _hours_words(totals: Totals) -> str:
    return _("%(setter)s h setter, %(helper)s h helper") % {
        "setter": decimal_text(totals.setter_hours, places=2),
        "helper": decimal_text(totals.helper_hours, places=2),
    }


def _proof(need: Need, notes: RackNotes) -> str:
    """Return how good the figure of a need is: its plans' proof, then its bound.

    What is to be minded of pieces of the rack comes last.
    """
    plans = plans_of(need)
    said = [plan.verdict for plan in plans]
    if need.bound not in ("", " ".join(dict.fromkeys(said))):
        said.append(need.bound)
    said += [note for plan in plans for note in plan_notes(plan, notes)]
    return " ".join(said)


PRICE_STEPS = {"Price", "The owner's price"}


def _bought(row: LineRow) -> LineRow:
    """Return a line as the page of purchases shows it: no word of the price of sale.

    Setters read that page; markup, margin and price are for the owner's alone.
    """
    return replace(
        row,
        price=row.cost,
        steps=tuple(step for step in row.steps if step.label not in PRICE_STEPS),
        overruled=tuple(note for note in row.overruled if note.what != "price"),
    )


def _classes(option: Option, rows: dict[str, LineRow]) -> tuple[ClassRow, ...]:
    return tuple(
        ClassRow(
            word=str(CLASS_WORDS.get(total.cost_class, total.cost_class)),
            cost=None if total.cost_class == "contingency" else total.cost,
            price=total.price,
            lines=tuple(
                rows[line.key]
                for line in option.lines
                if line.cost_class == total.cost_class
                and (line.quantity or line.price.amount or line.cost.amount)
            ),
        )
        for total in option.classes
    )


UNITS = {"m2": "m²", "each": ""}


def counted(quantity: Fraction, unit: str, system: str = "metric") -> str:
    """Return a quantity with its unit as it is said: `4`, `4 sheets`, `3.45 kg`.

    A business in feet reads pounds, gallons and feet, as its packs are sold.
    """
    number = decimal_text(in_own_unit(quantity, unit, system), places=2)
    unit = own_unit(unit, system)
    if unit in ("sheet", "roll", "piece"):
        words = {
            "sheet": ngettext("sheet", "sheets", 1 if quantity == 1 else 2),
            "roll": ngettext("roll", "rolls", 1 if quantity == 1 else 2),
            "piece": ngettext("piece", "pieces", 1 if quantity == 1 else 2),
        }
        return f"{number} {words[unit]}"
    return f"{number} {UNITS.get(unit, unit)}".strip()


def _said(line: Line, need: str, packs: str) -> str:
    """Return what stands under a line: need, packs, cost."""
    cost = _("cost %(money)s") % {"money": money_words(line.cost)}
    return "; ".join(part for part in (need, packs, cost) if part)


def _row(line: Line, system: str, *, bound: str, svgs: tuple[str, ...]) -> LineRow:
    packs = " + ".join(f"{pack.count} × {pack.label}" for pack in line.packs)
    need = counted(line.quantity, line.unit, system) if line.quantity else ""
    if svgs and not need:
        need = _("nothing new: all of it is on the rack")
    hours = sum((part.hours for part in line.hours), start=Fraction(0))
    return LineRow(
        key=line.key,
        text=core_words(line.text),
        need=need,
        packs=packs,
        left=counted(line.left_over, line.unit, system) if line.left_over else "",
        cost=line.cost,
        price=line.price,
        hours=f"{decimal_text(hours, places=2)} h" if hours else "",
        trimmed=line.trimmed_off,
        steps=line.working,
        overruled=line.overruled,
        supplied_by=line.supplied_by,
        said=_said(line, need, packs),
        cost_word=_("Cost, with the tax paid on it")
        if line.purchase_tax is not None and line.purchase_tax.amount
        else _("Cost before tax"),
        bound=bound,
        svgs=svgs,
    )

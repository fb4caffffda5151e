"""An estimate as plain text: needs, packs, cost and price, each with its working."""

from __future__ import annotations

from collections.abc import Iterable

from materials.core import amounts
from materials.core.need import Step
from materials.core.quantities import decimal_text, fixed_text
from quotes.core.document import Line, Option
from quotes.core.estimate import Estimate
from quotes.core.pricing import percent


def summary(found: Estimate) -> str:
    """Return the estimate for reading, ending with a line feed."""
    visit, option = found.visit, found.option
    parts = [
        f"{visit.title}",
        f"priced with the prices of {found.on.isoformat()}, in {visit.currency}",
        "",
    ]
    for line in option.lines:
        parts += _line(line)
    parts += ["", "What the client reads", *_offered(option)]
    parts += ["", "What it comes to", *_totals(found)]
    if found.by_client:
        parts += ["", "The client orders", *(f"  {item}" for item in found.by_client)]
    if found.cautions:
        parts += ["", "Cautions"]
        for caution in found.cautions:
            where = f" [{caution.source}]" if caution.source else ""
            parts.append(f"  {caution.sentence}{where}")
    return "\n".join(parts) + "\n"


def _line(line: Line) -> list[str]:
    packs = " + ".join(f"{pack.count} × {pack.label}" for pack in line.packs)
    said = [
        line.key,
        line.text,
        f"{decimal_text(line.quantity, places=3)} {line.unit}".strip()
        if line.quantity
        else "",
        packs,
        f"cost {amounts.plain(line.cost)}",
        f"price {amounts.plain(line.price)}",
    ]
    if line.trimmed_off is not None:
        said.append(f"trimmed off {amounts.plain(line.trimmed_off)}")
    return ["; ".join(part for part in said if part), *_steps(line.working)]


def _steps(steps: Iterable[Step]) -> list[str]:
    rows = []
    for step in steps:
        figures = " → ".join(part for part in (step.formula, step.result) if part)
        source = f" [{step.source}]" if step.source else ""
        rows.append(f"    {step.label}: {figures}{source}")
    return rows


def _offered(option: Option) -> list[str]:
    return [
        f"  {amounts.plain(line.price):>12}  {line.text}" for line in option.offered
    ]


def _totals(found: Estimate) -> list[str]:
    totals, option = found.option.totals, found.option
    rows = [
        f"  {amounts.plain(one.cost):>12}  cost, {one.cost_class}"
        for one in option.classes
        if one.cost.amount
    ]
    rows += [
        f"  {amounts.plain(totals.cost):>12}  cost",
        f"  {amounts.plain(totals.trimmed_off):>12}  of it trimmed off",
        f"  {amounts.plain(totals.net):>12}  price before tax",
    ]
    rows += [
        f"  {amounts.plain(tax.tax):>12}  {found.tax.name}, {percent(tax.rate)} of "
        f"{amounts.plain(tax.base)}"
        for tax in option.taxes
    ]
    rows += [
        f"  {amounts.plain(totals.gross):>12}  price with tax",
        f"  {amounts.plain(totals.profit):>12}  earned, {percent(totals.margin)} of "
        "the price",
        f"  {fixed_text(totals.setter_hours, places=2):>12}  setter hours",
        f"  {fixed_text(totals.helper_hours, places=2):>12}  helper hours",
        f"  {totals.days:>12}  days on site",
    ]
    rows += [
        f"  {amounts.plain(stage.amount):>12}  {stage.label}, {percent(stage.share)}"
        for stage in option.stages
    ]
    return rows

"""What a job cost so far: rows folded by the core."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from moneyed import Money

from jobs.core.ledger import (
    Bought,
    Budgeted,
    Entry,
    Fold,
    Returned,
    Used,
    Worked,
    fold,
)
from jobs.core.trimmed import Trimmed, split_price, trimmed_again
from jobs.core.variance import CostReport, report
from jobs.models import (
    BudgetLine,
    GoodsReturn,
    HoursLine,
    Job,
    OffcutMove,
    PurchaseLine,
)
from materials.core import amounts
from materials.models import Person
from quotes.models import Rates


@dataclass(frozen=True, slots=True, kw_only=True)
class JobCost:
    """A job's cost at one time: by class and line, where its goods are, its pans."""

    report: CostReport
    fold: Fold
    budget_lines: Mapping[str, BudgetLine]
    pans: tuple[Pan, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pan:
    """A line bought whole and trimmed: what was quoted as cut off, and what was.

    `actual` is None until it has been bought.
    """

    line: BudgetLine
    quoted: Money
    actual: Trimmed | None


def cost_of(job: Job) -> JobCost:
    """Return what the job cost so far: six queries, whatever its size."""
    lines = list(job.budget_lines.select_related("material"))
    is_done = job.state in (Job.State.COMPLETE, Job.State.CLOSED)
    budget = [_budgeted(line, is_done=is_done) for line in lines]
    folded = fold(budget, _entries(job), currency=job.currency)
    return JobCost(
        report=report(folded.lines, currency=job.currency),
        fold=folded,
        budget_lines={line.key: line for line in lines},
        pans=pans_of(job, lines=lines, folded=folded),
    )


def _budgeted(line: BudgetLine, *, is_done: bool) -> Budgeted:
    return Budgeted(
        key=line.key,
        cost_class=line.cost_class,
        text=line.text,
        unit=line.unit,
        quantity=line.quantity,
        cost=line.cost,
        finished=line.finished or is_done,
    )


def _entries(job: Job) -> Iterator[Entry]:
    yield from _bought(job)
    returns = GoodsReturn.objects.filter(line__purchase__job=job).select_related(
        "line__budget_line", "line__purchase"
    )
    for back in returns:
        yield _returned(back)
    for usage in job.usages.select_related("budget_line"):
        yield Used(
            line=usage.budget_line.key,
            on=usage.noted_on,
            quantity=usage.quantity,
            how=usage.how,
        )
    hours = HoursLine.objects.filter(sheet__job=job).select_related(
        "sheet", "budget_line"
    )
    for line in hours:
        yield Worked(
            line=line.budget_line.key if line.budget_line else "",
            on=line.sheet.worked_on,
            hours=line.hours,
            wage=line.wage,
            overhead=line.overhead,
            text=line.text,
        )


def _bought(job: Job) -> Iterator[Bought]:
    lines = PurchaseLine.objects.filter(purchase__job=job).select_related(
        "purchase", "budget_line"
    )
    for line in lines:
        yield Bought(
            line=line.budget_line.key if line.budget_line else "",
            on=line.purchase.bought_on,
            quantity=line.quantity,
            net=line.net,
            tax_cost=line.tax_cost,
            received=line.purchase.received_on is not None,
            lot=line.lot,
            cost_class=line.cost_class,
            text=line.text,
        )


def _returned(back: GoodsReturn) -> Returned:
    line = back.line
    return Returned(
        line=line.budget_line.key if line.budget_line else "",
        on=back.returned_on,
        quantity=back.quantity,
        credit=back.credit,
        received=line.purchase.received_on is not None,
        cost_class=line.cost_class,
        text=line.text,
    )


def pans_of(job: Job, *, lines: list[BudgetLine], folded: Fold) -> tuple[Pan, ...]:
    """Return the lines that were quoted with a share trimmed off: one query.

    The actual share keeps the quoted proportion of what was paid; what went to the
    rack is taken off it.
    """
    racked: dict[int, list[Money]] = {}
    moves = job.offcut_moves.filter(way=OffcutMove.Way.TO_RACK).select_related("offcut")
    for move in moves:
        if move.budget_line_id is not None:
            racked.setdefault(move.budget_line_id, []).append(move.offcut.cost_carried)
    costs = {line.key: line for line in folded.lines}
    pans = []
    for line in lines:
        quoted = line.trimmed_off
        if quoted is None or quoted.amount == 0:
            continue
        paid = costs[line.key].actual.cost
        kept = amounts.total(racked.get(line.pk, []), job.currency)
        pans.append(
            Pan(
                line=line,
                quoted=quoted,
                actual=_trimmed(line, quoted=quoted, paid=paid, kept=kept),
            )
        )
    return tuple(pans)


def _trimmed(
    line: BudgetLine, *, quoted: Money, paid: Money, kept: Money
) -> Trimmed | None:
    if paid.amount <= 0 or line.cost.amount <= 0:
        return None
    cut = trimmed_again(paid, quoted=line.cost, quoted_cut=quoted)
    # A piece kept for more than the share that was to be thrown away: all of it went
    # to the rack, and the rest of the floor is worth that much less.
    whole = cut if amounts.exact(cut) >= amounts.exact(kept) else kept
    return split_price(paid, cut=whole, on_the_rack=kept)


def wages_of(role: str) -> tuple[Money, Money]:
    """Return the wage of a role and the overhead for one hour, as they stand now."""
    rates = Rates.objects.get(pk=1)
    wage = rates.helper_wage if role == HoursLine.Role.HELPER else rates.setter_wage
    return wage, rates.overhead_per_hour


def hours_on(person: Person, *, on: date) -> Fraction:
    """Return the hours a person already has on the day sheets of a day."""
    rows = HoursLine.objects.filter(sheet__person=person, sheet__worked_on=on)
    return sum(rows.values_list("hours", flat=True), Fraction(0))

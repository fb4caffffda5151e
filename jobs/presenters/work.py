"""The work page: what was to be bought and done, and where it stands. No money."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any

from django.utils.translation import gettext as _

from jobs.core.ledger import Stock
from jobs.core.variance import IN_HOURS, LineCost
from jobs.models import BudgetLine, Job, Usage
from jobs.presenters.words import class_word, number_word
from jobs.queries.costs import JobCost
from materials.models import Person
from materials.presenters import core_words
from quotes.presenters.stages import stages


@dataclass(frozen=True, slots=True, kw_only=True)
class GoodsRow:
    """One line of goods: to buy, ordered or bought, used, still there."""

    pk: int
    text: str
    to_buy: str
    bought: str
    used: str
    on_hand: str
    is_short: bool
    note: str
    finished: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class HoursRow:
    """One line of work: hours quoted and worked."""

    pk: int
    text: str
    quoted: str
    worked: str
    is_over: bool
    finished: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherRow:
    """One line that is neither goods nor hours."""

    pk: int
    text: str
    word: str
    finished: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkSheet:
    """All of a job's work, without a price."""

    goods: tuple[GoodsRow, ...]
    hours: tuple[HoursRow, ...]
    others: tuple[OtherRow, ...]
    hours_quoted: str
    hours_worked: str


def work_sheet(cost: JobCost, system: str) -> WorkSheet:
    """Return the work of a job as it stands, counted as the business counts."""
    lines = [line for part in cost.report.classes for line in part.lines]
    rows = [(line, cost.budget_lines.get(line.key)) for line in lines]
    labour = [line for line in lines if in_hours(line)]
    quoted = sum((line.quoted.quantity for line in labour), Fraction(0))
    return WorkSheet(
        goods=tuple(
            _goods(line, row, cost.fold.stock[line.key], system)
            for line, row in rows
            if line.cost_class == "materials"
        ),
        hours=tuple(_hours(line, row) for line, row in rows if in_hours(line)),
        others=tuple(
            OtherRow(
                pk=row.pk if row else 0,
                text=core_words(line.text),
                word=class_word(line.cost_class),
                finished=line.finished,
            )
            for line, row in rows
            if line.cost_class not in (*IN_HOURS, "materials")
            or (line.cost_class == "labour" and not in_hours(line))
        ),
        hours_quoted=number_word(quoted, "h"),
        hours_worked=number_word(cost.fold.hours, "h"),
    )


def in_hours(line: LineCost) -> bool:
    """Whether a line is measured in hours; five tiles typed by hand are not."""
    return line.cost_class == "labour" and line.unit == "h"


@dataclass(frozen=True, slots=True, kw_only=True)
class NotedRow:
    """One entry of a list: when and what, and how much."""

    on: date
    text: str
    figure: str


def day_rows(job: Job) -> tuple[NotedRow, ...]:
    """Return the day sheets of a job, newest first, hours and no wages: two queries."""
    sheets = job.day_sheets.select_related("person").prefetch_related("lines")
    return tuple(
        NotedRow(
            on=sheet.worked_on,
            text=f"{sheet.person}: "
            + ", ".join(core_words(line.text) for line in sheet.lines.all()),
            figure=number_word(
                sum((line.hours for line in sheet.lines.all()), Fraction(0)), "h"
            ),
        )
        for sheet in sheets
    )


def use_rows(usages: Iterable[Usage], system: str) -> tuple[NotedRow, ...]:
    """Return what became of goods, as listed."""
    return tuple(
        NotedRow(
            on=usage.noted_on,
            text=f"{core_words(usage.budget_line.text)}, {usage.get_how_display()}"
            + (f": {usage.note}" if usage.note else ""),
            figure=number_word(usage.quantity, usage.budget_line.unit, system),
        )
        for usage in usages
    )


def _goods(
    line: LineCost, row: BudgetLine | None, stock: Stock, system: str
) -> GoodsRow:
    return GoodsRow(
        pk=row.pk if row else 0,
        text=core_words(line.text),
        to_buy=_packs(row, system) if row else "–",
        bought=number_word(line.committed.quantity, line.unit, system),
        used=number_word(stock.used + stock.broken, line.unit, system),
        on_hand=number_word(stock.on_hand, line.unit, system),
        is_short=stock.is_short,
        note=_supplied(row),
        finished=line.finished,
    )


def _packs(row: BudgetLine, system: str) -> str:
    packs = ", ".join(f"{count} × {label}" for label, count in row.packs)
    return packs or number_word(row.quantity, row.unit, system)


def _supplied(row: BudgetLine | None) -> str:
    if row is None:
        return _("nobody budgeted this")
    if row.supplied_by == "client":
        return _("the client brings it")
    return _("others bring it") if row.supplied_by == "others" else ""


def _hours(line: LineCost, row: BudgetLine | None) -> HoursRow:
    return HoursRow(
        pk=row.pk if row else 0,
        text=core_words(line.text),
        quoted=number_word(line.quoted.quantity, "h"),
        worked=number_word(line.actual.quantity, "h"),
        is_over=line.actual.quantity > line.quoted.quantity,
        finished=line.finished,
    )


def stages_of(job: Job, person: Person, now: str) -> list[dict[str, Any]]:
    """Return the seven stages of a job's way through."""
    return stages(job.revision.quote.visit, person, now)

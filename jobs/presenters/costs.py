"""The cost page: quoted against actual, forecast, the pan's story.

The owner reads all of it; the office reads the money of goods and of others, but no
wages, so neither what hours cost nor what is left over as margin.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from django.utils.translation import gettext as _
from moneyed import Money

from jobs.core.variance import (
    IN_HOURS,
    ClassCost,
    LineCost,
    Sums,
    margin_rate,
    sums,
)
from jobs.models import Job
from jobs.presenters.words import (
    change_word,
    class_word,
    number_word,
    percent_word,
    system_of,
)
from jobs.queries.costs import JobCost, Pan
from materials.core import amounts
from materials.core.drawing.charts import Share, draw_shares
from materials.core.drawing.records import Frame
from materials.core.drawing.style import SCREEN
from materials.core.need import Step
from materials.core.quantities import decimal_text, fixed_text
from materials.models import Person
from materials.presenters import core_words, money_words


@dataclass(frozen=True, slots=True, kw_only=True)
class CostRow:
    """One line: quantities in words, four costs, two variances, their working.

    The money is None where the reader may not see it.
    """

    anchor: str
    text: str
    change: str
    quoted: Money | None
    committed: Money | None
    actual: Money | None
    forecast: Money | None
    usage: Money | None
    price: Money | None
    total: Money | None
    steps: tuple[Step, ...]
    as_quoted: bool
    finished: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class CostBlock:
    """One class of cost: its words, its rows, its sums (None where unseen)."""

    word: str
    in_hours: bool
    rows: tuple[CostRow, ...]
    sums: Sums | None
    so_far: Sums | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PanStory:
    """Where the money of a trimmed piece went."""

    text: str
    quoted: Money
    paid: Money | None
    in_the_work: Money | None
    on_the_rack: Money | None
    thrown_away: Money | None
    bar: str
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CostSheet:
    """All of a job's cost at one time, as this reader may see it."""

    blocks: tuple[CostBlock, ...]
    sums: Sums | None
    pans: tuple[PanStory, ...]
    price: Money
    so_far: Sums | None
    margin_quoted: str
    margin_forecast: str
    earned: Money | None
    still_to_come: Money | None


def cost_sheet(job: Job, cost: JobCost, person: Person, *, price: Money) -> CostSheet:
    """Return the cost of a job; `price` is all that was agreed, before tax."""
    sees_all = person.sees_margins
    whole = cost.report.sums
    return CostSheet(
        blocks=tuple(
            _block(part, system_of(job), sees_all=sees_all)
            for part in cost.report.classes
        ),
        sums=whole if sees_all else None,
        pans=tuple(_pan(pan) for pan in cost.pans),
        price=price,
        so_far=_so_far(
            [line for part in cost.report.classes for line in part.lines],
            price.currency.code,
        )
        if sees_all
        else None,
        margin_quoted=percent_word(margin_rate(price=job.net, cost=job.cost)),
        margin_forecast=percent_word(margin_rate(price=price, cost=whole.forecast)),
        earned=_less(price, whole.forecast) if sees_all else None,
        still_to_come=_less(whole.forecast, whole.committed) if sees_all else None,
    )


def is_begun(line: LineCost) -> bool:
    """Whether a line has taken anything yet, or is done without.

    Until then it differs from the quote by all of itself, which is nothing saved.
    """
    return bool(line.finished or line.actual.quantity or line.actual.cost.amount)


def _so_far(lines: Iterable[LineCost], currency: str) -> Sums:
    """Return the sums of the lines that were begun: only they differ yet."""
    return sums([line for line in lines if is_begun(line)], currency)


def _less(first: Money, second: Money) -> Money:
    units = amounts.to_units(first) - amounts.to_units(second)
    return amounts.from_units(units, first.currency.code)


def _block(part: ClassCost, system: str, *, sees_all: bool) -> CostBlock:
    in_hours = part.cost_class in IN_HOURS
    shown = sees_all or not in_hours
    return CostBlock(
        word=class_word(part.cost_class),
        in_hours=in_hours,
        rows=tuple(
            _row(line, system, f"{part.cost_class}-{place}", shown=shown)
            for place, line in enumerate(part.lines)
        ),
        sums=part.sums if shown else None,
        so_far=_so_far(part.lines, part.sums.quoted.currency.code) if shown else None,
    )


def _row(line: LineCost, system: str, anchor: str, *, shown: bool) -> CostRow:
    parts = line.split
    change = change_word(line.quoted.quantity, line.actual.quantity, line.unit, system)
    if not shown:
        return CostRow(
            anchor=anchor, text=core_words(line.text), change=change, quoted=None,
            committed=None,
            actual=None, forecast=None, usage=None, price=None, total=None, steps=(),
            as_quoted=False,
        )  # fmt: skip
    begun = is_begun(line)
    return CostRow(
        anchor=anchor,
        text=core_words(line.text),
        change=change,
        quoted=line.quoted.cost,
        committed=line.committed.cost,
        actual=line.actual.cost,
        forecast=line.forecast,
        usage=parts.usage if begun else None,
        price=parts.price if begun else None,
        total=parts.total if begun else None,
        steps=_steps(line) if begun else (),
        as_quoted=not begun or (parts.total.amount == 0 and parts.usage.amount == 0),
        finished=line.finished,
    )


def _steps(line: LineCost) -> tuple[Step, ...]:
    """Return how the two variances of a line came about, and what it may yet cost."""
    parts, quoted, actual = line.split, line.quoted, line.actual
    code = quoted.cost.currency.code
    standard, paid = _each(quoted.price, code), _each(actual.price, code)
    more = actual.quantity - quoted.quantity
    hours = line.cost_class in IN_HOURS
    usage, price = (_("Efficiency"), _("Rate")) if hours else (_("Usage"), _("Price"))
    rest = max(Fraction(0), quoted.quantity - line.committed.quantity)
    return (
        Step(
            label=usage,
            formula=f"({number_word(actual.quantity)} − "
            f"{number_word(quoted.quantity)}) = {number_word(more, line.unit)} "
            f"× {standard}",
            result=money_words(parts.usage),
        ),
        Step(
            label=price,
            formula=f"({paid} − {standard}) × "
            f"{number_word(actual.quantity, line.unit)}",
            result=money_words(parts.price),
        ),
        Step(
            label=_("Forecast"),
            formula=_("finished: what is committed")
            if line.finished
            else f"{money_words(line.committed.cost)} + "
            f"{number_word(rest, line.unit)} × {standard}",
            result=money_words(line.forecast),
        ),
    )


def _each(price: Fraction | None, code: str) -> str:
    """Return the price of one, with more decimals than money has where it needs them.

    What is shown is rounded to four places; the sums are worked out exactly.
    """
    if price is None:
        return "–"
    digits = amounts.minor_digits(code)
    shown = fixed_text(price, places=digits)
    return shown if Fraction(shown) == price else decimal_text(price, places=4)


def _pan(pan: Pan) -> PanStory:
    actual = pan.actual
    quoted = Step(
        label=_("Trimmed off as quoted"),
        formula=_("of %(cost)s for the whole") % {"cost": money_words(pan.line.cost)},
        result=money_words(pan.quoted),
    )
    if actual is None:
        return PanStory(
            text=pan.line.text, quoted=pan.quoted, paid=None, in_the_work=None,
            on_the_rack=None, thrown_away=None, bar="", steps=(quoted,),
        )  # fmt: skip
    cut = _less(actual.price, actual.in_the_work)
    return PanStory(
        text=pan.line.text,
        quoted=pan.quoted,
        paid=actual.price,
        in_the_work=actual.in_the_work,
        on_the_rack=actual.on_the_rack,
        thrown_away=actual.thrown_away,
        bar=_bar(pan),
        steps=(
            quoted,
            Step(
                label=_("Trimmed off as bought"),
                formula=f"{money_words(actual.price)} × "
                f"{money_words(pan.quoted)} ÷ {money_words(pan.line.cost)}",
                result=money_words(cut),
            ),
            Step(
                label=_("Less what the rack took"),
                formula=f"{money_words(cut)} − {money_words(actual.on_the_rack)}",
                result=money_words(actual.thrown_away),
            ),
        ),
    )


def _bar(pan: Pan) -> str:
    actual = pan.actual
    if actual is None:
        return ""
    parts = (
        (actual.in_the_work, _("in the work"), ""),
        (actual.on_the_rack, _("on the rack"), "spare"),
        (actual.thrown_away, _("thrown away"), "waste"),
    )
    shares = tuple(
        Share(
            value=amounts.to_units(money),
            figure=money_words(money),
            word=f"{word}, {percent_word(_share(money, actual.price))}",
            kind=kind,
        )
        for money, word, kind in parts
        if money.amount > 0
    )
    sentence = _("Of %(price)s: %(parts)s") % {
        "price": money_words(actual.price),
        "parts": "; ".join(f"{share.figure} {share.word}" for share in shares),
    }
    return draw_shares(
        f"pan-{pan.line.pk}", sentence, shares, Frame(style=SCREEN, width=560)
    )


def _share(money: Money, whole: Money) -> Fraction:
    return amounts.exact(money) / amounts.exact(whole)

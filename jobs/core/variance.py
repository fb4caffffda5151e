"""Quoted against actual: differences per line and class that add up to the cent.

Standard costing: the price (or rate) variance is (actual price − standard price) ×
actual quantity; the usage (or efficiency) variance is (actual quantity − standard
quantity) × standard price. Positive costs more than quoted. The one rounding is in
the usage part; the price part is what is left, so the two always add up.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from moneyed import Money

from materials.core import amounts
from materials.core.errors import OutOfRange
from materials.core.sources import Source
from quotes.core.document import COST_CLASSES

SOURCE = Source(
    title="Principles of Accounting, volume 2: Managerial Accounting",
    edition="OpenStax, 2019",
    place="chapter 8, standard costs and variances",
)

IN_HOURS = frozenset({"labour", "overhead"})
"""Classes whose two variances are called rate and efficiency."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """So much of something, and what it costs altogether."""

    quantity: Fraction
    cost: Money

    @property
    def price(self) -> Fraction | None:
        """The cost of one, exactly; none where there is nothing to divide by."""
        if self.quantity == 0:
            return None
        return amounts.exact(self.cost) / self.quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Split:
    """A difference in two parts; positive costs more than quoted."""

    price: Money
    usage: Money

    @property
    def total(self) -> Money:
        """The whole difference: the sum of the two parts."""
        return _plus(self.price, self.usage)


@dataclass(frozen=True, slots=True, kw_only=True)
class LineCost:
    """One line of the budget, or one that nobody budgeted, at one time.

    `committed` is ordered or worked, returns taken off; `actual` has arrived.
    `finished` says that nothing more will come on this line.
    """

    key: str
    cost_class: str
    text: str
    unit: str
    quoted: Measure
    committed: Measure
    actual: Measure
    finished: bool = False

    @property
    def split(self) -> Split:
        """Actual against quoted."""
        return split(standard=self.quoted, actual=self.actual)

    @property
    def forecast(self) -> Money:
        """What the line will have cost when the job is done."""
        return forecast(
            quoted=self.quoted, committed=self.committed, finished=self.finished
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Sums:
    """The sums of some lines: four costs and the two parts of the difference."""

    quoted: Money
    committed: Money
    actual: Money
    forecast: Money
    price: Money
    usage: Money

    @property
    def total(self) -> Money:
        """Actual less quoted."""
        return _plus(self.price, self.usage)


@dataclass(frozen=True, slots=True, kw_only=True)
class ClassCost:
    """One class of cost: its lines and their sums."""

    cost_class: str
    lines: tuple[LineCost, ...]
    sums: Sums


@dataclass(frozen=True, slots=True, kw_only=True)
class CostReport:
    """A job's cost by class and line, and in all."""

    classes: tuple[ClassCost, ...]
    sums: Sums


def split(*, standard: Measure, actual: Measure) -> Split:
    """Return the price and usage variance (rate and efficiency, for hours).

    Units: both quantities in the same unit; `standard` for the actual output.
    Rounds: the usage part half up to the minor unit; the price part is the rest.
    Where nothing was budgeted there is no standard price: all of it is usage.
    Where nothing was taken there is no actual price: all of it is usage, unless
    money was spent on nothing, which is price.
    Source: Principles of Accounting, volume 2, chapter 8.

    >>> hours = split(
    ...     standard=Measure(quantity=Fraction(10), cost=Money("350.00", "USD")),
    ...     actual=Measure(quantity=Fraction(12), cost=Money("408.00", "USD")),
    ... )
    >>> hours.price, hours.usage
    (Money('-12.00', 'USD'), Money('70.00', 'USD'))
    """
    code = standard.cost.currency.code
    whole = amounts.total([actual.cost, _minus(standard.cost)], code)
    standard_price = standard.price
    if standard_price is None:
        return Split(price=amounts.zero(code), usage=whole)
    more = actual.quantity - standard.quantity
    usage = amounts.money(standard_price * more, code)
    return Split(price=_plus(whole, _minus(usage)), usage=usage)


def forecast(*, quoted: Measure, committed: Measure, finished: bool) -> Money:
    """Return the cost at completion: committed, and the rest as it was quoted.

    Rounds: the rest half up to the minor unit.
    """
    code = quoted.cost.currency.code
    rest = quoted.quantity - committed.quantity
    price = quoted.price
    if price is None:
        # A sum without a quantity (a lump): what is not committed may still come.
        gap = amounts.total([quoted.cost, _minus(committed.cost)], code)
        more = gap if not finished and gap.amount > 0 else amounts.zero(code)
        return _plus(committed.cost, more)
    if finished or rest <= 0:
        return committed.cost
    return _plus(committed.cost, amounts.money(price * rest, code))


def applied_overhead(rate: Money, base: Fraction) -> Money:
    """Return overhead at so much per unit of its base (an hour, as a rule).

    Rounds: half up to the minor unit.
    """
    return amounts.extend(rate, base)


def overhead_rate(yearly: Money, productive_hours: Fraction) -> Money:
    """Return overhead per productive hour: what a year costs over what it sells.

    Units: hours that can be charged, not hours that are paid.
    Rounds: half up to four places, as a unit price.
    Raises: OutOfRange if no hour is productive.
    """
    if productive_hours <= 0:
        raise OutOfRange(
            f"{productive_hours} productive hours a year carry no overhead; "
            "enter the hours that can be charged."
        )
    return amounts.unit_price(
        amounts.exact(yearly) / productive_hours, yearly.currency.code
    )


def report(lines: Sequence[LineCost], *, currency: str) -> CostReport:
    """Return the cost of a job by class and line.

    Shape: classes in the order of the quote's COST_CLASSES, empty ones left out; lines
    in the order given. No lines give sums of nothing.
    Raises: OutOfRange for a class that is none of them.
    """
    for line in lines:
        if line.cost_class not in COST_CLASSES:
            raise OutOfRange(f"“{line.cost_class}” is no class of cost.")
    classes = []
    for cost_class in COST_CLASSES:
        own = tuple(line for line in lines if line.cost_class == cost_class)
        if own:
            classes.append(
                ClassCost(cost_class=cost_class, lines=own, sums=sums(own, currency))
            )
    return CostReport(classes=tuple(classes), sums=sums(lines, currency))


def sums(lines: Iterable[LineCost], currency: str) -> Sums:
    """Return the sums of some lines."""
    rows = list(lines)
    splits = [line.split for line in rows]
    return Sums(
        quoted=amounts.total((line.quoted.cost for line in rows), currency),
        committed=amounts.total((line.committed.cost for line in rows), currency),
        actual=amounts.total((line.actual.cost for line in rows), currency),
        forecast=amounts.total((line.forecast for line in rows), currency),
        price=amounts.total((part.price for part in splits), currency),
        usage=amounts.total((part.usage for part in splits), currency),
    )


def margin_rate(*, price: Money, cost: Money) -> Fraction | None:
    """Return the margin as a share of the price; none where nothing is charged."""
    if price.amount == 0:
        return None
    return 1 - amounts.exact(cost) / amounts.exact(price)


def _plus(first: Money, second: Money) -> Money:
    return amounts.total([first, second], first.currency.code)


def _minus(money: Money) -> Money:
    return amounts.from_units(-amounts.to_units(money), money.currency.code)

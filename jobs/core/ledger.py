"""What was bought, returned, used and worked: entries, folded per budget line.

Entries never change; a mistake is set right by another entry. Quantities are in the
unit of the budget line (square metres, bags, hours), money is net of tax, and tax on
purchases that cannot be recovered is a cost of the line.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction

from moneyed import Money

from jobs.core.variance import LineCost, Measure, applied_overhead
from materials.core import amounts
from materials.core.errors import Unknown

HOW_USED = ("used", "broken", "left")
"""What became of a quantity: set in the work, broken, or left over at the end."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Budgeted:
    """One line of the budget as the accepted quote (or a variation) had it."""

    key: str
    cost_class: str
    text: str
    unit: str
    quantity: Fraction
    cost: Money
    finished: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Bought:
    """A line of a purchase; `received` is false while it is only ordered.

    `line` is empty where nobody budgeted it: `cost_class` and `text` then say what
    it was. `tax_cost` is the tax that cannot be recovered.
    """

    line: str
    on: date
    quantity: Fraction
    net: Money
    tax_cost: Money
    received: bool = True
    lot: str = ""
    cost_class: str = "materials"
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Returned:
    """Goods taken back, or an order cut short; `credit` is what was given for them.

    `line`, `received`, `cost_class` and `text` are those of the purchase.
    """

    line: str
    on: date
    quantity: Fraction
    credit: Money
    received: bool = True
    cost_class: str = "materials"
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Used:
    """A quantity used, broken or left over."""

    line: str
    on: date
    quantity: Fraction
    how: str = "used"


@dataclass(frozen=True, slots=True, kw_only=True)
class Worked:
    """Hours of one person on one line, at that person's wage and the overhead rate."""

    line: str
    on: date
    hours: Fraction
    wage: Money
    overhead: Money
    text: str = ""


Entry = Bought | Returned | Used | Worked


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """Where the goods of one line are: bought − returned − used − broken = on hand."""

    bought: Fraction = Fraction(0)
    returned: Fraction = Fraction(0)
    used: Fraction = Fraction(0)
    broken: Fraction = Fraction(0)
    left: Fraction = Fraction(0)

    @property
    def on_hand(self) -> Fraction:
        """What should still be there, by the entries."""
        return self.bought - self.returned - self.used - self.broken

    @property
    def is_short(self) -> bool:
        """Whether more went out than the entries brought in."""
        return self.on_hand < 0


@dataclass(slots=True, kw_only=True)
class _Account:
    """The running sums of one line while entries are folded."""

    committed: Fraction = Fraction(0)
    arrived: Fraction = Fraction(0)
    committed_money: list[Money] = field(default_factory=list)
    arrived_money: list[Money] = field(default_factory=list)
    stock: dict[str, Fraction] = field(default_factory=dict)

    def add(self, quantity: Fraction, money: Money, *, arrived: bool) -> None:
        self.committed += quantity
        self.committed_money.append(money)
        if arrived:
            self.arrived += quantity
            self.arrived_money.append(money)

    def move(self, place: str, quantity: Fraction) -> None:
        self.stock[place] = self.stock.get(place, Fraction(0)) + quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Fold:
    """The entries of a job, folded: one cost per line, and where the goods are."""

    lines: tuple[LineCost, ...]
    stock: Mapping[str, Stock]
    hours: Fraction


def fold(
    budget: Sequence[Budgeted], entries: Iterable[Entry], *, currency: str
) -> Fold:
    """Return what each line cost and where its goods are.

    Overhead follows every hour worked, on the first line of class overhead, or on a
    line of its own where the quote had none. What nobody budgeted gets a line of its
    own, with nothing quoted.

    Shape: budget lines in order, then lines nobody budgeted in order of appearance.
    Rounds: each line's wages and overhead once per entry, half up.
    Raises: Unknown for an entry on a line the budget does not have.
    """
    accounts: dict[str, _Account] = {line.key: _Account() for line in budget}
    extra: dict[str, Budgeted] = {}
    overhead_key = next(
        (line.key for line in budget if line.cost_class == "overhead"), ""
    )
    hours = Fraction(0)
    for entry in entries:
        if isinstance(entry, Worked):
            hours += entry.hours
            home = overhead_key or _open(
                accounts, extra, "overhead", "Overhead", "h", currency
            )
            accounts[home].add(
                entry.hours,
                applied_overhead(entry.overhead, entry.hours),
                arrived=True,
            )
        _post(entry, accounts=accounts, extra=extra, currency=currency)
    lines = [*budget, *extra.values()]
    return Fold(
        lines=tuple(_line_cost(line, accounts[line.key], currency) for line in lines),
        stock={key: Stock(**account.stock) for key, account in accounts.items()},
        hours=hours,
    )


def _post(
    entry: Entry,
    *,
    accounts: dict[str, _Account],
    extra: dict[str, Budgeted],
    currency: str,
) -> None:
    key = entry.line
    if not key and not isinstance(entry, Used):
        cost_class = "labour" if isinstance(entry, Worked) else entry.cost_class
        unit = "h" if isinstance(entry, Worked) else ""
        key = _open(accounts, extra, cost_class, entry.text, unit, currency)
    if key not in accounts:
        raise Unknown(f"The budget has no line “{key}”; choose one it has.")
    account = accounts[key]
    match entry:
        case Bought():
            cost = amounts.total([entry.net, entry.tax_cost], currency)
            account.add(entry.quantity, cost, arrived=entry.received)
            if entry.received:
                account.move("bought", entry.quantity)
        case Returned():
            back = amounts.from_units(-amounts.to_units(entry.credit), currency)
            account.add(-entry.quantity, back, arrived=entry.received)
            if entry.received:
                account.move("returned", entry.quantity)
        case Used():
            account.move(entry.how, entry.quantity)
        case Worked():
            pay = amounts.extend(entry.wage, entry.hours)
            account.add(entry.hours, pay, arrived=True)


def _open(
    accounts: dict[str, _Account],
    extra: dict[str, Budgeted],
    cost_class: str,
    text: str,
    unit: str,
    currency: str,
) -> str:
    key = f"not budgeted: {cost_class}: {text}"
    if key not in accounts:
        accounts[key] = _Account()
        extra[key] = Budgeted(
            key=key,
            cost_class=cost_class,
            text=text,
            unit=unit,
            quantity=Fraction(0),
            cost=amounts.zero(currency),
        )
    return key


def _line_cost(line: Budgeted, account: _Account, currency: str) -> LineCost:
    return LineCost(
        key=line.key,
        cost_class=line.cost_class,
        text=line.text,
        unit=line.unit,
        quoted=Measure(quantity=line.quantity, cost=line.cost),
        committed=Measure(
            quantity=account.committed,
            cost=amounts.total(account.committed_money, currency),
        ),
        actual=Measure(
            quantity=account.arrived,
            cost=amounts.total(account.arrived_money, currency),
        ),
        finished=line.finished,
    )

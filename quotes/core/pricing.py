"""From cost to price: markup or margin, sums, rounding, tax, payments.

A markup is a share of the cost and a margin a share of the price; both are written as
shares (20 % is 1/5) and never mixed. Every price of a line is rounded once, and every
later sum is a sum of rounded lines.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import lcm

from moneyed import Money

from materials.core import amounts
from materials.core.errors import OutOfRange, Unknown
from materials.core.need import Step
from materials.core.quantities import decimal_text, half_up
from quotes.core.document import COST_CLASSES as CLASSES
from quotes.core.document import ClassTotal, Line, Stage

MARKUP = "markup"
MARGIN = "margin"


@dataclass(frozen=True, slots=True, kw_only=True)
class Addition:
    """What is added to a cost: the method and its share for each kind of cost."""

    method: str
    materials: Fraction = Fraction(0)
    labour: Fraction = Fraction(0)
    other: Fraction = Fraction(0)

    def rate(self, cost_class: str) -> Fraction:
        """Return the share for a cost class; all but two share the third rate."""
        if cost_class == "materials":
            return self.materials
        return self.labour if cost_class == "labour" else self.other


def percent(rate: Fraction) -> str:
    """Return a share as a percentage for reading.

    >>> percent(Fraction(1, 16))
    '6.25 %'
    """
    return f"{decimal_text(rate * 100, places=4)} %"


def marked_up(cost: Money, rate: Fraction) -> Money:
    """Return cost × (1 + markup), half up.

    >>> marked_up(Money("438.88", "INR"), Fraction(1, 100))
    Money('443.27', 'INR')
    """
    return amounts.percent_of(cost, 1 + rate)


def with_margin(cost: Money, rate: Fraction) -> Money:
    """Return cost ÷ (1 − margin), half up: the share `rate` of the price is earned.

    Raises: OutOfRange for a margin of the whole price or more.

    >>> with_margin(Money("80.00", "GBP"), Fraction(1, 5))
    Money('100.00', 'GBP')
    """
    if rate >= 1:
        raise OutOfRange(
            f"A margin of {percent(rate)} leaves nothing for the cost; "
            "enter less than 100 %.",
            field="rates",
        )
    return amounts.percent_of(cost, 1 / (1 - rate))


def priced(cost: Money, cost_class: str, addition: Addition) -> Money:
    """Return the price of a cost, by the business's method for its class.

    Raises: Unknown for a method that is neither; OutOfRange for a share below nil.
    """
    rate = addition.rate(cost_class)
    if rate < 0:
        raise OutOfRange(
            f"{percent(rate)} on {cost_class} is below nothing; enter 0 or more.",
            field="rates",
        )
    if addition.method == MARKUP:
        return marked_up(cost, rate)
    if addition.method == MARGIN:
        return with_margin(cost, rate)
    raise Unknown(
        f"“{addition.method}” is no way to price; choose markup or margin.",
        field="rates.method",
    )


def price_step(cost: Money, cost_class: str, addition: Addition) -> Step:
    """Return the working of `priced`."""
    rate = addition.rate(cost_class)
    price = amounts.plain(priced(cost, cost_class, addition))
    plain = amounts.plain(cost)
    if addition.method == MARKUP:
        formula = f"{plain} × (1 + {percent(rate)} markup on cost)"
    else:
        formula = f"{plain} ÷ (1 − {percent(rate)} margin of price)"
    return Step(label="Price", formula=formula, result=price)


def to_step(amount: Money, step: Money) -> Money:
    """Return the multiple of a step of money nearest to an amount, half up.

    >>> to_step(Money("587.19", "INR"), Money("0.05", "INR"))
    Money('587.20', 'INR')
    """
    code = amount.currency.code
    return amounts.money(half_up(amounts.exact(amount), amounts.exact(step)), code)


def class_totals(lines: Iterable[Line], *, code: str) -> tuple[ClassTotal, ...]:
    """Return cost and price of each cost class that occurs, in their usual order."""
    held: dict[str, list[Line]] = {}
    for line in lines:
        held.setdefault(line.cost_class, []).append(line)
    return tuple(
        ClassTotal(
            cost_class=cost_class,
            cost=amounts.total((line.cost for line in held[cost_class]), code),
            price=amounts.total((line.price for line in held[cost_class]), code),
        )
        for cost_class in CLASSES
        if cost_class in held
    )


def margin_of(net: Money, cost: Money) -> Fraction:
    """Return the share of a price that is not cost; of no price, none.

    Rounds: half up to a ten-thousandth.
    """
    price = amounts.exact(net)
    if not price:
        return Fraction(0)
    return half_up((price - amounts.exact(cost)) / price, Fraction(1, 10_000))


def stages(
    gross: Money, shares: Sequence[tuple[str, str, Fraction]]
) -> tuple[Stage, ...]:
    """Return the payments of a gross sum: they add up to it, to the cent.

    Shape: `shares` are (key, label, share) in order; they must add up to one.
    Method: largest remainder, ties to the earlier payment.
    Raises: OutOfRange when the shares are below nil or do not add up to the whole.
    """
    whole = sum((share for _, _, share in shares), Fraction(0))
    if whole != 1 or any(share < 0 for _, _, share in shares):
        raise OutOfRange(
            f"The payments come to {percent(whole)} of the price; "
            "they must add up to 100 %, none below nothing.",
            field="terms.stages",
        )
    scale = lcm(*(share.denominator for _, _, share in shares))
    parts = amounts.share(gross, [int(share * scale) for _, _, share in shares])
    return tuple(
        Stage(key=key, label=label, share=share, amount=part)
        for (key, label, share), part in zip(shares, parts, strict=True)
    )


def deposit_shares(deposit: Fraction) -> tuple[tuple[str, str, Fraction], ...]:
    """Return a deposit and the rest as payments; without a deposit, one payment.

    Raises: OutOfRange for a deposit below nil or above the whole.
    """
    if not 0 <= deposit <= 1:
        raise OutOfRange(
            f"A deposit of {percent(deposit)} is not possible; enter 0 to 100 %.",
            field="terms.deposit",
        )
    first = ("deposit", "Deposit, with your acceptance", deposit)
    last = ("balance", "When the work is finished", 1 - deposit)
    return tuple(payment for payment in (first, last) if payment[2])

"""Lines typed by hand, allowances and provisional sums, as lines of the estimate.

A hand-typed price is the owner's own: nothing is added to it and it is never spread.
An allowance is a sum for goods still to be chosen, settled at what they cost; a
provisional sum is for work nobody can define yet. Both stand at their full amount.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from moneyed import Money

from materials.core import amounts
from materials.core.errors import MixedCurrencies, OutOfRange, Unknown
from materials.core.need import Step
from materials.core.quantities import decimal_text
from quotes.core.choices import Allowance, HandLine
from quotes.core.document import COST_CLASSES, Line
from quotes.core.frozen import money_text
from quotes.core.overrules import Overrules

LARGEST_QUANTITY = 1_000_000
HAND_CLASSES = tuple(
    name for name in COST_CLASSES if name not in ("contingency", "adjustment")
)


def hand_lines(
    typed: Iterable[HandLine], *, code: str, overrules: Overrules
) -> tuple[Line, ...]:
    """Return the lines typed by hand: quantity × unit cost, quantity × unit price.

    Shape: keys `hand:1`, `hand:2`, … in the order typed. A line without a unit cost
    costs nothing.
    Rounds: cost and price half up, once a line.
    Raises: OutOfRange, Unknown or MixedCurrencies, naming the line.
    """
    return tuple(
        _hand_line(place, line, code, overrules) for place, line in enumerate(typed)
    )


def _hand_line(place: int, typed: HandLine, code: str, overrules: Overrules) -> Line:
    field = f"hand_lines[{place}]"
    _check_hand_line(typed, field)
    key = f"hand:{place + 1}"
    price = _extended(typed.unit_price, typed.quantity, code, f"{field}.unit_price")
    cost = amounts.zero(code)
    if typed.unit_cost is not None:
        cost = _extended(typed.unit_cost, typed.quantity, code, f"{field}.unit_cost")
    settled_cost, cost_note = overrules.settled(key, "cost", cost)
    settled_price, price_note = overrules.settled(key, "price", price)
    quantity = decimal_text(typed.quantity, places=3)
    return Line(
        key=key,
        cost_class=typed.cost_class,
        nature="hand",
        section=key,
        text=typed.text,
        quantity=typed.quantity,
        unit=typed.unit,
        cost=settled_cost,
        price=settled_price,
        overruled=(*cost_note, *price_note),
        working=(
            Step(
                label="Price, typed by hand",
                formula=f"{quantity} {typed.unit} × {money_text(typed.unit_price)}",
                result=amounts.plain(price),
            ),
            *_cost_steps(typed, quantity, cost),
        ),
    )


def _cost_steps(typed: HandLine, quantity: str, cost: Money) -> tuple[Step, ...]:
    if typed.unit_cost is None:
        return ()
    return (
        Step(
            label="Cost, typed by hand",
            formula=f"{quantity} {typed.unit} × {money_text(typed.unit_cost)}",
            result=amounts.plain(cost),
        ),
    )


def _check_hand_line(typed: HandLine, field: str) -> None:
    if not typed.text.strip():
        raise OutOfRange(
            "A line typed by hand needs its text; say what the work is.",
            field=f"{field}.text",
        )
    if typed.cost_class not in HAND_CLASSES:
        raise Unknown(
            f"“{typed.cost_class}” is no class of cost; choose one of "
            f"{', '.join(HAND_CLASSES)}.",
            field=f"{field}.cost_class",
        )
    if not 0 < typed.quantity <= LARGEST_QUANTITY:
        raise OutOfRange(
            f"A quantity of {decimal_text(typed.quantity, places=3)} is not possible; "
            f"enter more than 0, up to {LARGEST_QUANTITY:,}.",
            field=f"{field}.quantity",
        )


def _extended(price: Money, quantity: Fraction, code: str, field: str) -> Money:
    if price.currency.code != code:
        raise MixedCurrencies(
            f"{price} is not in {code}; one quote has one currency.", field=field
        )
    if price.amount < 0:
        raise OutOfRange(
            f"{money_text(price)} is below nothing; enter 0 or more.", field=field
        )
    return amounts.extend(price, quantity)


def allowance_lines(
    allowances: Iterable[Allowance], *, code: str, overrules: Overrules
) -> tuple[Line, ...]:
    """Return allowances and provisional sums as lines: cost and price are the sum.

    Shape: keys `sum:1`, `sum:2`, … in the order given.
    Raises: OutOfRange, Unknown or MixedCurrencies, naming the sum.
    """
    return tuple(
        _allowance_line(place, allowance, code, overrules)
        for place, allowance in enumerate(allowances)
    )


def _allowance_line(
    place: int, allowance: Allowance, code: str, overrules: Overrules
) -> Line:
    if allowance.nature not in ("allowance", "provisional_sum"):
        raise Unknown(
            f"“{allowance.nature}” is neither an allowance nor a provisional_sum.",
            field=f"allowances[{place}].nature",
        )
    field = f"allowances[{place}].amount"
    amount = _extended(allowance.amount, Fraction(1), code, field)
    goods = allowance.nature == "allowance"
    key = f"sum:{place + 1}"
    cost, cost_note = overrules.settled(key, "cost", amount)
    price, price_note = overrules.settled(key, "price", amount)
    why = (
        "for goods still to be chosen, settled at what they cost"
        if goods
        else "for work that cannot be defined yet, settled at what is agreed then"
    )
    return Line(
        key=key,
        cost_class="materials" if goods else "other",
        nature=allowance.nature,
        section=key,
        text=allowance.text,
        quantity=Fraction(1),
        cost=cost,
        price=price,
        overruled=(*cost_note, *price_note),
        working=(Step(label="Sum", formula=why, result=amounts.plain(amount)),),
    )

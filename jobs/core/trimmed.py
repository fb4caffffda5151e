"""Money cut off what is bought whole: its own figure, never a cheaper pan."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from moneyed import Money

from materials.core import amounts
from materials.core.areas import Area
from materials.core.errors import BadShape, OutOfRange


@dataclass(frozen=True, slots=True, kw_only=True)
class Trimmed:
    """Where the money of a trimmed piece went: in the floor, on the rack, thrown away.

    The three parts add up to `price`; the whole price stays the job's cost.
    """

    price: Money
    in_the_work: Money
    on_the_rack: Money
    thrown_away: Money


def trimmed_off(price: Money, *, trimmed: Area, whole: Area) -> Money:
    """Return the share of the price that lies outside the trim line.

    Rounds: price × trimmed plan area / whole plan area, half up to the minor unit.
    Raises: BadShape if the whole has no area, or less is left than nothing.

    >>> trimmed_off(Money("268.00", "USD"), trimmed=Area(374), whole=Area(1000))
    Money('100.23', 'USD')
    """
    if whole.ticks2 <= 0:
        raise BadShape("A piece without area cannot be trimmed; enter its sizes.")
    if not 0 <= trimmed.ticks2 <= whole.ticks2:
        raise BadShape("More is trimmed off than the whole piece; check the trim line.")
    return amounts.extend(price, Fraction(trimmed.ticks2, whole.ticks2))


def trimmed_again(price: Money, *, quoted: Money, quoted_cut: Money) -> Money:
    """Return the trimmed share of another price, in the proportion that was quoted.

    Rounds: half up to the minor unit.
    Raises: OutOfRange if nothing was quoted, or more was cut off than was bought.
    """
    if quoted.amount <= 0 or not 0 <= quoted_cut.amount <= quoted.amount:
        raise OutOfRange(
            f"A cut-off of {amounts.plain(quoted_cut)} is no share of "
            f"{amounts.plain(quoted)}."
        )
    return amounts.extend(price, amounts.exact(quoted_cut) / amounts.exact(quoted))


def split_price(price: Money, *, cut: Money, on_the_rack: Money) -> Trimmed:
    """Return where the price went, what the rack took taken off the trimmed share.

    Raises: OutOfRange if the rack took more than was cut off.
    """
    left = amounts.to_units(cut) - amounts.to_units(on_the_rack)
    code = price.currency.code
    if left < 0:
        raise OutOfRange(
            f"The rack cannot take {amounts.plain(on_the_rack)} out of a cut-off worth "
            f"{amounts.plain(cut)}; lower the value of what is kept."
        )
    return Trimmed(
        price=price,
        in_the_work=amounts.from_units(
            amounts.to_units(price) - amounts.to_units(cut), code
        ),
        on_the_rack=on_the_rack,
        thrown_away=amounts.from_units(left, code),
    )

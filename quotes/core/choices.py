"""What is chosen beside the measuring: labour, hand-typed lines, rates, terms.

The owner's last word stands here too: an `Overrule` keeps both figures in sight.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from moneyed import Money


@dataclass(frozen=True, slots=True, kw_only=True)
class ExtraLabour:
    """An operation added by hand: what, how much of its basis, where."""

    operation: str
    quantity: Fraction
    place: str = ""
    note: str = ""
    factor: Fraction = Fraction(1)


@dataclass(frozen=True, slots=True, kw_only=True)
class HandLine:
    """A line typed by hand: text, quantity, unit, cost and price of one unit."""

    text: str
    quantity: Fraction
    unit_price: Money
    unit: str = ""
    unit_cost: Money | None = None
    cost_class: str = "labour"


@dataclass(frozen=True, slots=True, kw_only=True)
class Overrule:
    """The owner's figure instead of a computed one, and why.

    `line` is the line's key; `what` is quantity, packs, hours, cost or price.
    """

    line: str
    what: str
    value: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowance:
    """A sum for goods still to be chosen, or for work not yet definable."""

    nature: str
    text: str
    amount: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnOutput:
    """The business's own hours for one unit of an operation."""

    operation: str
    hours: Fraction
    helper_hours: Fraction = Fraction(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rates:
    """What an hour costs and what is added; shares are fractions (20 % is 1/5).

    `taxed_classes` names the cost classes that sales tax is added to, where a place
    taxes goods and not work; empty, it is added to all.
    """

    setter_wage: Money
    helper_wage: Money
    overhead_per_hour: Money
    hours_per_day: Fraction = Fraction(8)
    travel_per_visit: Money | None = None
    method: str = "markup"
    materials_rate: Fraction = Fraction(0)
    labour_rate: Fraction = Fraction(0)
    other_rate: Fraction = Fraction(0)
    contingency: Fraction = Fraction(0)
    minimum_charge: Money | None = None
    round_to: Money | None = None
    tax_name: str = "VAT"
    sales_tax: Fraction = Fraction(0)
    purchase_tax: Fraction = Fraction(0)
    purchase_tax_recoverable: bool = True
    tax_basis: str = "document"
    taxed_classes: tuple[str, ...] = ()
    outputs: tuple[OwnOutput, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class StageShare:
    """One payment as agreed: when it falls due, and its share of the whole."""

    label: str
    share: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """What the offer says beside its figures.

    `stages`, where given, stand in place of the deposit and add up to the whole.
    """

    scope: str = ""
    exclusions: tuple[str, ...] = ()
    text: str = ""
    deposit: Fraction = Fraction(0)
    discount: Fraction = Fraction(0)
    stages: tuple[StageShare, ...] = ()
    holds_days: int = 30
    payment_days: int = 14

"""The arithmetic of an invoice by EN 16931-1, with tolerance zero.

A line's net is rounded first; the net sum is the sum of the rounded lines; tax is
worked out once per category and rate on the sum of its lines, half up; the sum with
tax is the sum of what is printed. Nothing is ever worked out backwards.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from moneyed import Money

from materials.core import amounts
from materials.core.errors import MixedCurrencies, OutOfRange, Refusal
from materials.core.quantities import decimal_text
from materials.core.sources import Source

SOURCE = Source(
    title="EN 16931 validation artefacts",
    edition="1.3.16, 2026-04-10",
    place="BR-CO-10 to BR-CO-17, BR-27, BR-S-08, BR-S-09",
)

TAXED = "S"
"""The category of UNCL5305 under which a rate above nothing stands."""

UNTAXED = ("Z", "E", "AE", "K", "G", "O", "L", "M", "B")
"""Zero, exempt, reverse charge and the others: their rate is nil."""

TAX_BASES = ("document", "line")
"""Tax rounded once per rate on the whole document, or on each line."""


class NotInvoiceable(Refusal):
    """An invoice asked for cannot be drawn up; the sentence says why."""

    code = "not_invoiceable"


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class TaxKey:
    """A tax category of UNCL5305 and its rate as a share (20 % is 1/5).

    Raises: OutOfRange for an unknown category, or a rate that does not go with it.
    """

    category: str
    rate: Fraction

    def __post_init__(self) -> None:
        if self.category != TAXED and self.category not in UNTAXED:
            raise OutOfRange(f"“{self.category[:8]}” is no tax category; use S, Z, E.")
        if self.category == TAXED and not 0 < self.rate <= 1:
            raise OutOfRange(
                f"A standard rate of {self.percent} % is not between 0 and 100; "
                "use category Z or E where no tax is due."
            )
        if self.category in ("Z", "E", "AE", "K", "G", "O") and self.rate != 0:
            raise OutOfRange(
                f"Category {self.category} bears no tax; its rate must be 0."
            )

    @property
    def percent(self) -> str:
        """The rate as printed: `6.25`."""
        return decimal_text(self.rate * 100, places=4)


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line: quantity × price ÷ base quantity, its own allowance and charge.

    `price` is for `base_quantity` units and may have more decimals than an amount.
    """

    key: str
    text: str
    quantity: Fraction
    unit: str
    price: Money
    tax: TaxKey
    base_quantity: Fraction = Fraction(1)
    allowance: Money | None = None
    charge: Money | None = None

    @property
    def net(self) -> Money:
        """The line's net amount, rounded before anything is summed."""
        return line_net(self)


@dataclass(frozen=True, slots=True, kw_only=True)
class Adjustment:
    """An allowance or a charge on the whole document, under one tax rate."""

    reason: str
    amount: Money
    tax: TaxKey
    is_charge: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class TaxRow:
    """The tax of one category and rate."""

    tax: TaxKey
    base: Money
    amount: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class Totals:
    """All sums of a document; each is worked out from the ones above it."""

    lines: Money
    allowances: Money
    charges: Money
    net: Money
    rows: tuple[TaxRow, ...]
    tax: Money
    gross: Money
    prepaid: Money
    rounding: Money
    due: Money


def line_net(line: Line) -> Money:
    """Return the net of a line: price × quantity, less allowance, plus charge.

    Rounds: price ÷ base quantity × quantity once, half up (BT-131).
    Raises: OutOfRange for a price below nothing: credit by a quantity below nothing.
    """
    if line.price.amount < 0:
        raise OutOfRange(
            f"The price of “{line.text[:40]}” is below nothing; "
            "enter the quantity as negative instead."
        )
    if line.base_quantity <= 0:
        raise OutOfRange(f"“{line.text[:40]}” is priced for no quantity.")
    code = line.price.currency.code
    parts = [amounts.extend(line.price, line.quantity / line.base_quantity)]
    if line.charge is not None:
        parts.append(line.charge)
    if line.allowance is not None:
        parts.append(negative(line.allowance))
    return amounts.total(parts, code)


def negative(amount: Money) -> Money:
    """Return the amount with its sign turned."""
    return amounts.from_units(-amounts.to_units(amount), amount.currency.code)


def tax_on(base: Money, tax: TaxKey) -> Money:
    """Return base × rate, half up to the minor unit (BR-CO-17).

    >>> tax_on(Money("365125.00", "USD"), TaxKey(category="S", rate=Fraction(1, 1000)))
    Money('365.13', 'USD')
    """
    return amounts.percent_of(base, tax.rate)


def tax_rows(
    lines: Iterable[tuple[TaxKey, Money]], *, currency: str, basis: str = "document"
) -> tuple[TaxRow, ...]:
    """Return the tax per category and rate of (tax, net amount) pairs.

    Shape: one row per category and rate, highest rate first, then by category.
    Rounds: `document`: once on each row's base; `line`: on each amount, then summed.
    Raises: OutOfRange for a basis that is neither.
    """
    if basis not in TAX_BASES:
        raise OutOfRange(f"Tax is rounded per document or per line, not “{basis}”.")
    nets: dict[TaxKey, list[Money]] = {}
    for tax, net in lines:
        nets.setdefault(tax, []).append(net)
    rows = []
    for tax in sorted(nets, key=lambda item: (-item.rate, item.category)):
        base = amounts.total(nets[tax], currency)
        amount = (
            tax_on(base, tax)
            if basis == "document"
            else amounts.total((tax_on(net, tax) for net in nets[tax]), currency)
        )
        rows.append(TaxRow(tax=tax, base=base, amount=amount))
    return tuple(rows)


def totals(
    lines: Sequence[Line],
    *,
    currency: str,
    adjustments: Sequence[Adjustment] = (),
    prepaid: Money | None = None,
    rounding: Money | None = None,
    basis: str = "document",
) -> Totals:
    """Return all sums of an invoice.

    Shape: no lines give sums of nothing, without tax rows.
    Rounds: each line's net, then each rate's tax (see `tax_rows`); sums are exact.
    Raises: MixedCurrencies if any amount is of another currency.
    Source: EN 16931-1, BR-CO-10 to BR-CO-17.
    """
    nets = [(line.tax, line.net) for line in lines]
    signed = [
        (item.tax, item.amount if item.is_charge else negative(item.amount))
        for item in adjustments
    ]
    return sums_of(
        tax_rows([*nets, *signed], currency=currency, basis=basis),
        lines=amounts.total((net for _, net in nets), currency),
        allowances=amounts.total(
            (item.amount for item in adjustments if not item.is_charge), currency
        ),
        charges=amounts.total(
            (item.amount for item in adjustments if item.is_charge), currency
        ),
        prepaid=prepaid if prepaid is not None else amounts.zero(currency),
        rounding=rounding if rounding is not None else amounts.zero(currency),
    )


def sums_of(
    rows: tuple[TaxRow, ...],
    *,
    lines: Money,
    allowances: Money,
    charges: Money,
    prepaid: Money,
    rounding: Money,
) -> Totals:
    """Return the sums that follow from line sum, adjustments and tax rows.

    Raises: NotInvoiceable if the tax rows do not add up to the net sum.
    """
    code = lines.currency.code
    net = amounts.total([lines, negative(allowances), charges], code)
    if amounts.total((row.base for row in rows), code) != net:
        raise NotInvoiceable(
            f"The bases of tax do not add up to {amounts.plain(net)}; "
            "give every line a tax rate."
        )
    tax = amounts.total((row.amount for row in rows), code)
    gross = amounts.total([net, tax], code)
    return Totals(
        lines=lines,
        allowances=allowances,
        charges=charges,
        net=net,
        rows=rows,
        tax=tax,
        gross=gross,
        prepaid=prepaid,
        rounding=rounding,
        due=amounts.total([gross, negative(prepaid), rounding], code),
    )


def one_currency(lines: Sequence[Line]) -> str:
    """Return the currency of all lines.

    Raises: NotInvoiceable without lines; MixedCurrencies for two currencies.
    """
    codes = sorted({line.price.currency.code for line in lines})
    if not codes:
        raise NotInvoiceable("An invoice needs a line; add what it is for.")
    if len(codes) > 1:
        raise MixedCurrencies(
            f"One invoice has one currency, not {' and '.join(codes)}."
        )
    return codes[0]

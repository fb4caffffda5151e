"""Tax on sales, by category and rate, on the total of each rate or on each line.

Where tax is rounded is a named choice kept in the document: `document` rounds once
for each category and rate, `line` rounds on every line a client reads and adds up.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from moneyed import Money

from materials.core import amounts
from materials.core.errors import OutOfRange, Unknown
from quotes.core.document import OfferedLine, TaxLine, TaxPart

ON_DOCUMENT = "document"
ON_LINE = "line"
BASES = (ON_DOCUMENT, ON_LINE)

STANDARD = "S"
UNTAXED = "O"
"""Category codes of UNCL 5305: standard rate, and outside the scope of the tax."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SalesTax:
    """What is added to prices: a rate, and the cost classes that carry another one.

    `by_class` names classes with a rate of their own (some places tax goods and not
    work); a rate of nil is outside the scope of the tax.
    """

    name: str
    rate: Fraction
    basis: str = ON_DOCUMENT
    by_class: Mapping[str, Fraction] = field(default_factory=dict)


def checked(tax: SalesTax) -> SalesTax:
    """Return the tax if it can be worked out.

    Raises: Unknown for a basis that is none; OutOfRange for a rate below nil or of
    the whole price and more.
    """
    if tax.basis not in BASES:
        raise Unknown(
            f"“{tax.basis}” is no basis of tax; choose document or line.",
            field="rates.tax_basis",
        )
    for rate in (tax.rate, *tax.by_class.values()):
        if not 0 <= rate < 1:
            raise OutOfRange(
                f"A tax of {rate * 100} % is not possible; enter 20 for 20 %.",
                field="rates.sales_tax",
            )
    return tax


def part_of(tax: SalesTax, cost_class: str, base: Money) -> TaxPart:
    """Return an amount under the category and rate of its cost class."""
    rate = tax.by_class.get(cost_class, tax.rate)
    return TaxPart(category=STANDARD if rate else UNTAXED, rate=rate, base=base)


def merged(parts: Iterable[TaxPart]) -> tuple[TaxPart, ...]:
    """Return one part for each category and rate, highest rate first.

    Shape: parts that come to nothing are dropped, but never the last one.
    """
    sums: dict[tuple[str, Fraction], list[Money]] = {}
    for part in parts:
        sums.setdefault((part.category, part.rate), []).append(part.base)
    whole = [
        TaxPart(
            category=category,
            rate=rate,
            base=amounts.total(bases, bases[0].currency.code),
        )
        for (category, rate), bases in sums.items()
    ]
    whole.sort(key=lambda part: (-part.rate, part.category))
    worth = [part for part in whole if part.base.amount]
    return tuple(worth or whole[:1])


def spread(amount: Money, over: Sequence[TaxPart]) -> tuple[TaxPart, ...]:
    """Return an amount shared over parts in proportion to their bases, to the cent.

    A discount is given on every rate alike, so it lowers each base by its share.

    Shape: over nothing, the whole amount outside the scope of the tax.
    Method: largest remainder; a base below nil counts as nil.
    """
    if not over:
        return (TaxPart(category=UNTAXED, rate=Fraction(0), base=amount),)
    weights = [max(0, amounts.to_units(part.base)) for part in over]
    return merged(
        TaxPart(category=part.category, rate=part.rate, base=share)
        for part, share in zip(over, amounts.share(amount, weights), strict=True)
    )


def tax_lines(
    offered: Sequence[OfferedLine], *, basis: str, code: str
) -> tuple[TaxLine, ...]:
    """Return the tax of every category and rate of the offered lines.

    Rounds: half up to the minor unit, once per category and rate (`document`) or
    once per line (`line`).
    Source: EN 16931-1, BR-CO-17; BR-CO-14 for their sum.
    """
    bases: dict[tuple[str, Fraction], list[Money]] = {}
    for line in offered:
        for part in line.parts:
            bases.setdefault((part.category, part.rate), []).append(part.base)
    found = []
    for (category, rate), parts in bases.items():
        base = amounts.total(parts, code)
        if basis == ON_LINE:
            tax = amounts.total(
                (amounts.percent_of(part, rate) for part in parts), code
            )
        else:
            tax = amounts.percent_of(base, rate)
        found.append(TaxLine(category=category, rate=rate, base=base, tax=tax))
    return tuple(sorted(found, key=lambda line: (-line.rate, line.category)))

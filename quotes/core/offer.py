"""What the client reads: lines of the estimate gathered into parts of the work.

Overhead, contingency and rounding are no work of their own, so they are spread over
the parts in proportion, to the cent. Lines typed by hand, allowances, provisional
sums, travel, a discount and a minimum charge stand for themselves.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from moneyed import Money

from materials.core import amounts
from materials.core.errors import OutOfRange
from materials.core.need import Step
from quotes.core.document import Line, OfferedLine, TaxPart
from quotes.core.frozen import money_text
from quotes.core.pricing import Addition, percent, price_step, priced, to_step
from quotes.core.tax import SalesTax, merged, part_of, spread

SECTIONS = {
    "prepare": "Take out, protect and prepare",
    "boards": "Boards and waterproofing",
    "floor": "Sloped floor and drain",
    "tile": "Tile, set and grouted",
    "finish": "Seal, clean down and test",
    "travel": "Travel",
}
"""The parts of the work, in the order a client reads them."""

SPREAD = ("overhead", "contingency", "rounding")


@dataclass(frozen=True, slots=True, kw_only=True)
class Adjusting:
    """What is done to the sum of prices: discount, rounding, minimum, in this order."""

    code: str
    discount: Fraction = Fraction(0)
    round_to: Money | None = None
    minimum: Money | None = None


def contingency_line(
    lines: Iterable[Line], *, share: Fraction, addition: Addition, code: str
) -> Line | None:
    """Return a share of the computed cost, set aside for what goes wrong, or None.

    Hand-typed lines and sums set aside carry none. The share is priced like other
    costs.
    Rounds: cost and price half up, once.
    Raises: OutOfRange for a share below nil or above the whole cost.
    """
    if not 0 <= share <= 1:
        raise OutOfRange(
            f"A contingency of {percent(share)} is not possible; enter 0 to 100 %.",
            field="rates.contingency",
        )
    base = amounts.total(
        (line.cost for line in lines if line.nature == "computed"), code
    )
    cost = amounts.percent_of(base, share)
    if not cost.amount:
        return None
    return Line(
        key="contingency",
        cost_class="contingency",
        section="contingency",
        text="Contingency",
        cost=cost,
        price=priced(cost, "contingency", addition),
        working=(
            Step(
                label="Contingency",
                formula=f"{amounts.plain(base)} expected cost × {percent(share)}",
                result=amounts.plain(cost),
            ),
            price_step(cost, "contingency", addition),
        ),
    )


def adjustments(lines: Sequence[Line], adjusting: Adjusting) -> tuple[Line, ...]:
    """Return discount, rounding and minimum charge as lines that cost nothing.

    Shape: only those that change the sum. Discount is a share of the sum of prices;
    the rest is rounded to the step; a sum below the minimum charge is raised to it. No
    lines, no adjustments.
    Rounds: the discount half up to the minor unit, the sum half up to the step.
    Raises: OutOfRange for a discount that is no share, or a step or minimum below nil.
    """
    _check(adjusting)
    if not lines:
        return ()
    code = adjusting.code
    found: list[Line] = []
    net = amounts.total((line.price for line in lines), code)
    if adjusting.discount:
        less = -amounts.percent_of(net, adjusting.discount)
        formula = f"{amounts.plain(net)} × {percent(adjusting.discount)}"
        found.append(_adjustment("discount", "Discount", less, formula))
        net = amounts.total((net, less), code)
    if adjusting.round_to is not None and adjusting.round_to.amount:
        rounded = to_step(net, adjusting.round_to)
        step = money_text(adjusting.round_to)
        formula = f"{amounts.plain(net)} to the nearest {step}, halves up"
        found.append(_adjustment("rounding", "Rounding", rounded - net, formula))
        net = rounded
    if adjusting.minimum is not None and net < adjusting.minimum:
        formula = f"{money_text(adjusting.minimum)} − {amounts.plain(net)}"
        more = adjusting.minimum - net
        found.append(
            _adjustment("minimum_charge", "Up to the minimum charge", more, formula)
        )
    return tuple(line for line in found if line.price.amount)


def _check(adjusting: Adjusting) -> None:
    if not 0 <= adjusting.discount < 1:
        raise OutOfRange(
            f"A discount of {percent(adjusting.discount)} is not possible; "
            "enter less than 100 %.",
            field="terms.discount",
        )
    named = (("round_to", adjusting.round_to), ("minimum_charge", adjusting.minimum))
    for name, money in named:
        if money is None:
            continue
        if money.amount < 0:
            raise OutOfRange(
                f"{money_text(money)} is below nothing; enter 0 or more.",
                field=f"rates.{name}",
            )
        if amounts.money(amounts.exact(money), adjusting.code) != money:
            raise OutOfRange(
                f"{money_text(money)} has parts of the smallest coin; "
                "enter whole coins.",
                field=f"rates.{name}",
            )


def _adjustment(key: str, text: str, price: Money, formula: str) -> Line:
    return Line(
        key=key,
        cost_class="adjustment",
        nature="adjustment",
        section=key,
        text=text,
        cost=amounts.zero(price.currency.code),
        price=price,
        working=(Step(label=text, formula=formula, result=amounts.plain(price)),),
    )


def offered_lines(
    lines: Sequence[Line], *, tax: SalesTax, code: str
) -> tuple[OfferedLine, ...]:
    """Return what the client reads; it adds up to the lines' prices, to the cent.

    Shape: parts of the work in the order of SECTIONS, then what stands for itself in
    the order of the lines. A part that costs the client nothing is left out; the
    detail of a part names its goods, dearest first.
    Method: what is spread is shared by largest remainder over the parts' prices.
    """
    sections: dict[str, list[Line]] = {key: [] for key in SECTIONS}
    alone: list[Line] = []
    for line in lines:
        if line.section in sections and line.nature == "computed":
            sections[line.section].append(line)
        elif line.section not in SPREAD:
            alone.append(line)
    held = {key: part for key, part in sections.items() if _worth(part, code)}
    over = [line for line in lines if line.section in SPREAD]
    if not held:
        alone += over
        over = []
    parts = {
        key: [part_of(tax, line.cost_class, line.price) for line in part]
        for key, part in held.items()
    }
    _spread_over(parts, over, tax, code)
    work = [_section(key, held[key], merged(parts[key]), over, code) for key in held]
    return (*work, *_standing_alone(alone, work, tax))


def _worth(lines: Sequence[Line], code: str) -> bool:
    return bool(amounts.total((line.price for line in lines), code).amount)


def _spread_over(
    parts: dict[str, list[TaxPart]], over: Sequence[Line], tax: SalesTax, code: str
) -> None:
    weights = [
        amounts.to_units(amounts.total((part.base for part in of_section), code))
        for of_section in parts.values()
    ]
    for line in over:
        shares = amounts.share(line.price, weights)
        for of_section, share in zip(parts.values(), shares, strict=True):
            if line.section == "rounding":
                of_section += spread(share, merged(of_section))
            else:
                of_section.append(part_of(tax, line.cost_class, share))


def _section(
    key: str,
    lines: Sequence[Line],
    parts: tuple[TaxPart, ...],
    over: Sequence[Line],
    code: str,
) -> OfferedLine:
    goods = [line for line in lines if line.material and line.packs]
    goods.sort(key=lambda line: -line.price.amount)
    names = dict.fromkeys(line.text for line in goods)
    return OfferedLine(
        key=key,
        text=SECTIONS[key],
        detail="; ".join(names),
        price=amounts.total((part.base for part in parts), code),
        parts=parts,
        lines=(*(line.key for line in lines), *(line.key for line in over)),
    )


def _standing_alone(
    alone: Sequence[Line], work: Sequence[OfferedLine], tax: SalesTax
) -> list[OfferedLine]:
    found: list[OfferedLine] = []
    for line in alone:
        if line.nature == "computed" and not line.price.amount:
            continue
        parts: tuple[TaxPart, ...] = (part_of(tax, line.cost_class, line.price),)
        if line.nature == "adjustment":
            so_far = merged(part for other in (*work, *found) for part in other.parts)
            parts = spread(line.price, so_far) if so_far else parts
        found.append(
            OfferedLine(
                key=line.key,
                text=line.text,
                nature=line.nature,
                price=line.price,
                parts=parts,
                quantity=line.quantity,
                unit=line.unit,
                lines=(line.key,),
            )
        )
    return found

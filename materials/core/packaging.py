"""How a thing is sold: what a pack holds, and the cheapest whole packs for a need."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from math import lcm

from materials.core.errors import NotANumber, NothingInTheBox, OutOfRange
from materials.core.need import PackFacts, Step
from materials.core.quantities import decimal_text, parse_number, whole_units

PACK_FORMS = ("sheet", "roll", "length", "box", "bag", "tub", "tube", "piece")

_POUND = Fraction("0.45359237")
_GALLON = Fraction("3.785411784")
_FOOT = Fraction("0.3048")

UNIT_WORDS: Mapping[str, Mapping[str, Fraction]] = {
    "kg": {
        "kg": Fraction(1),
        "g": Fraction(1, 1000),
        "lb": _POUND,
        "lbs": _POUND,
        "oz": _POUND / 16,
    },
    "l": {
        "l": Fraction(1),
        "litre": Fraction(1),
        "litres": Fraction(1),
        "ml": Fraction(1, 1000),
        "gal": _GALLON,
        "qt": _GALLON / 4,
        "fl oz": _GALLON / 128,
        "cu ft": _FOOT**3 * 1000,
    },
    "ml": {
        "ml": Fraction(1),
        "l": Fraction(1000),
        "fl oz": _GALLON * 1000 / 128,
        "gal": _GALLON * 1000,
    },
    "m2": {
        "m2": Fraction(1),
        "m²": Fraction(1),
        "sq m": Fraction(1),
        "sq ft": _FOOT**2,
        "ft2": _FOOT**2,
        "ft²": _FOOT**2,
    },
    "m": {
        "m": Fraction(1),
        "mm": Fraction(1, 1000),
        "cm": Fraction(1, 100),
        "ft": _FOOT,
        "in": _FOOT / 12,
    },
    "kg/l": {"kg/l": Fraction(1), "lb/cu ft": _POUND / (_FOOT**3 * 1000)},
    "kg/m2": {
        "kg/m2": Fraction(1),
        "kg/m²": Fraction(1),
        "lb/sq ft": _POUND / _FOOT**2,
    },
    "l/kg": {"l/kg": Fraction(1)},
    "each": {
        word: Fraction(1)
        for word in ("each", "piece", "pieces", "pcs", "sheet", "sheets")
    },
}
"""What one of each printed unit is in a need's unit. Pound, inch and US gallon are
exact by definition (0.45359237 kg, 25.4 mm, 231 cubic inches)."""

_IN_FEET = {"kg": "lb", "l": "gal", "ml": "fl oz", "m": "ft", "m2": "sq ft"}
"""What a business in feet and inches reads and types for a need's unit."""


def own_unit(unit: str, system: str) -> str:
    """Return the unit a business of a system counts in: `kg`, or `lb` in feet."""
    return _IN_FEET.get(unit, unit) if system == "imperial" else unit


def in_own_unit(quantity: Fraction, unit: str, system: str) -> Fraction:
    """Return a quantity of a need in the business's own unit, exactly.

    >>> in_own_unit(Fraction("45.359237"), "kg", "imperial")
    Fraction(100, 1)
    """
    own = own_unit(unit, system)
    return quantity if own == unit else quantity / UNIT_WORDS[unit][own]


def from_own_unit(quantity: Fraction, unit: str, system: str) -> Fraction:
    """Return what was typed in the business's own unit in the need's, exactly."""
    own = own_unit(unit, system)
    return quantity if own == unit else quantity * UNIT_WORDS[unit][own]


_AMOUNT = re.compile(r"\s*(?P<number>[0-9 ./]*[0-9.])\s*(?P<unit>[^0-9.]*?[²2]?)\s*")


def amount(text: str, unit: str) -> Fraction:
    """Return what was typed, in `unit`: `50 lb` of a "kg" is 22.6796185.

    A bare number is in `unit` itself.

    Raises: NotANumber for a text that is no number; OutOfRange for a unit that does
    not measure the same thing.

    >>> amount("50 lb", "kg")
    Fraction(45359237, 2000000)
    """
    match = _AMOUNT.fullmatch(text) if len(text) <= 40 else None
    if match is None:
        raise NotANumber(f"“{text[:40]}” is not an amount; write 25 or 25 {unit}.")
    number = parse_number(match["number"])
    word = match["unit"].strip().lower()
    if not word:
        return number
    words = UNIT_WORDS.get(unit, {unit: Fraction(1)})
    if word not in words:
        known = ", ".join(words)
        raise OutOfRange(
            f"“{word[:20]}” does not measure what is counted in {unit}; use {known}."
        )
    return number * words[word]


@dataclass(frozen=True, slots=True, kw_only=True)
class PackCount:
    """So many whole packs of one size, at the price that holds for that many."""

    pack: PackFacts
    count: int
    price: int
    """Of one pack, in 1/10,000 of the currency."""

    @property
    def cost(self) -> int:
        """Of all of them, in 1/10,000 of the currency."""
        return self.count * self.price

    @property
    def content(self) -> Fraction:
        """What they hold together, in the kind's unit."""
        return self.count * self.pack.content


@dataclass(frozen=True, slots=True, kw_only=True)
class PackChoice:
    """The packs bought for a need: what they cost and what is left over.

    Units: `need`, `content`, `left_over` in the kind's unit; `cost` and
    `left_over_cost` in 1/10,000 of the currency. `left_over_cost` is the share of
    the cost that the left-over content stands for.
    """

    need: Fraction
    packs: tuple[PackCount, ...]
    content: Fraction
    cost: int
    left_over: Fraction
    left_over_cost: Fraction
    working: tuple[Step, ...] = ()


def cheapest_packs(
    need: Fraction,
    packs: Sequence[PackFacts],
    *,
    least: Mapping[str, int] | None = None,
) -> PackChoice:
    """Return the whole packs that cover a need for the least money.

    `least` holds packs that a plan has already counted, by pack key: at least so
    many of those are taken. Price breaks hold for all packs of that size.

    Units: `need` in the packs' own unit.
    Shape: packs in the order given, sizes with none left out; no need, no packs.
    Raises: NothingInTheBox if there is no pack to buy, or one that holds nothing.
    Method: optimal. Least cost, then least left over, then fewest packs, then the
    order given. Fewer than a fixed number of the dearer packs can stand in a best
    mix (any such number of them holds a group that whole packs of the cheapest per
    unit replace at no greater cost), so those mixes are all tried.

    >>> bag = PackFacts(key="25", label="25 kg", content=Fraction(25), price=200_000)
    >>> tub = PackFacts(key="5", label="5 kg", content=Fraction(5), price=60_000)
    >>> [(p.pack.key, p.count) for p in cheapest_packs(Fraction(33), [bag, tub]).packs]
    [('25', 1), ('5', 2)]
    """
    if not packs:
        raise NothingInTheBox("No pack has a price; enter how the material is sold.")
    for pack in packs:
        if pack.content <= 0:
            raise NothingInTheBox(
                f"{pack.label} holds {pack.content}; enter what a pack holds."
            )
    floor = [max(0, (least or {}).get(pack.key, 0)) for pack in packs]
    best: tuple[tuple[Fraction, ...], tuple[int, ...], tuple[int, ...]] | None = None
    for tier in product(*(_tiers(pack) for pack in packs)):
        prices = tuple(price for _, price in tier)
        start = [max(floor[i], tier[i][0]) for i in range(len(packs))]
        counts = _best_mix(need, [pack.content for pack in packs], prices, start)
        rank = _rank(need, packs, prices, counts)
        if best is None or rank < best[0]:
            best = (rank, counts, prices)
    assert best is not None  # noqa: S101  there is at least one pack and one tier
    return _choice(need, packs, best[1], best[2])


def _tiers(pack: PackFacts) -> list[tuple[int, int]]:
    """Return the prices of a pack as (least packs, price), the plain one first."""
    return [(0, pack.price), *pack.breaks]


def _rank(
    need: Fraction,
    packs: Sequence[PackFacts],
    prices: Sequence[int],
    counts: Sequence[int],
) -> tuple[Fraction, ...]:
    cost = sum(price * count for price, count in zip(prices, counts, strict=True))
    content = sum(
        (pack.content * count for pack, count in zip(packs, counts, strict=True)),
        start=Fraction(0),
    )
    order = tuple(Fraction(-count) for count in counts)
    return (Fraction(cost), content - need, Fraction(sum(counts)), *order)


def _best_mix(
    need: Fraction,
    contents: Sequence[Fraction],
    prices: Sequence[int],
    start: Sequence[int],
) -> tuple[int, ...]:
    """Return the best counts, none below `start`, for fixed prices."""
    held = sum((c * n for c, n in zip(contents, start, strict=True)), Fraction(0))
    rest = need - held
    if rest <= 0:
        return tuple(start)
    scale = lcm(*(content.denominator for content in contents))
    sizes = [int(content * scale) for content in contents]
    wanted = -(-(rest * scale).numerator // (rest * scale).denominator)
    cheap = min(
        range(len(sizes)), key=lambda i: (Fraction(prices[i], sizes[i]), -sizes[i], i)
    )
    others = [i for i in range(len(sizes)) if i != cheap]
    best: tuple[int, int, int, tuple[int, ...]] | None = None
    for counts, cost, got in _mixes(wanted, sizes, prices, cheap, others):
        top = whole_units(Fraction(wanted - got), Fraction(sizes[cheap]))
        extra = [0] * len(sizes)
        for i, count in zip(others, counts, strict=True):
            extra[i] = count
        extra[cheap] = top
        rank = (
            cost + top * prices[cheap],
            got + top * sizes[cheap],
            sum(extra),
            tuple(-count for count in extra),
        )
        if best is None or rank < best:
            best = rank
    if best is None:
        return tuple(start)
    return tuple(base - more for base, more in zip(start, best[3], strict=True))


def _mixes(
    wanted: int,
    sizes: Sequence[int],
    prices: Sequence[int],
    cheap: int,
    others: Sequence[int],
) -> Iterator[tuple[tuple[int, ...], int, int]]:
    """Yield counts of the dearer packs worth trying, their cost and their content.

    Fewer than `sizes[cheap]` in all, none more than covers what is wanted, and none
    whose cost already passes the cheapest packs alone.
    """
    ceiling = whole_units(Fraction(wanted), Fraction(sizes[cheap])) * prices[cheap]
    stack: list[tuple[tuple[int, ...], int, int]] = [((), 0, 0)]
    while stack:
        counts, cost, got = stack.pop()
        if len(counts) == len(others):
            yield counts, cost, got
            continue
        i = others[len(counts)]
        room = max(0, sizes[cheap] - 1 - sum(counts))
        most = min(
            room, whole_units(Fraction(max(0, wanted - got)), Fraction(sizes[i]))
        )
        for count in range(most + 1):
            spent = cost + count * prices[i]
            left = max(0, wanted - got - count * sizes[i])
            if spent * sizes[cheap] + left * prices[cheap] > ceiling * sizes[cheap]:
                continue
            stack.append(((*counts, count), spent, got + count * sizes[i]))


def _choice(
    need: Fraction,
    packs: Sequence[PackFacts],
    counts: Sequence[int],
    prices: Sequence[int],
) -> PackChoice:
    taken = tuple(
        PackCount(pack=pack, count=count, price=price)
        for pack, count, price in zip(packs, counts, prices, strict=True)
        if count
    )
    content = sum((item.content for item in taken), start=Fraction(0))
    cost = sum(item.cost for item in taken)
    over = max(Fraction(0), content - need)
    return PackChoice(
        need=need,
        packs=taken,
        content=content,
        cost=cost,
        left_over=over,
        left_over_cost=over / content * cost if content else Fraction(0),
        working=(_working(need, taken, content, over),),
    )


def _working(
    need: Fraction, taken: Iterable[PackCount], content: Fraction, over: Fraction
) -> Step:
    sizes = " + ".join(f"{item.count} × {item.pack.label}" for item in taken) or "none"
    return Step(
        label="Whole packs, cheapest mix",
        formula=(
            f"need {decimal_text(need, places=3)}: {sizes} "
            f"= {decimal_text(content, places=3)}"
        ),
        result=f"{decimal_text(over, places=3)} left over",
    )

"""How many boxes to order: a quantile of what may be needed, never a factor.

What is needed beyond the whole tiles depends on two things nobody knows before the
work: how many offcuts that fit are really used again, and how many tiles break. Both
have a distribution; the order covers them with the chance the business picks.

Terms. *Saveable* tiles are the difference between no reuse and the factory-edge plan.
*Evidence* of reuse is how many saveable tiles were saved and how many were not, as
whole numbers; it makes a beta distribution. Broken tiles are Poisson.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal, localcontext
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from math import comb

from materials.core.errors import OutOfRange
from materials.core.quantities import whole_units
from materials.core.sources import Source
from quotes.core.layout.reuse import ItemPlan

_WHOLE = 10**18
"""Chances are whole numbers of this, so that equal input gives equal orders."""

_MOST_BROKEN = 4_000

EVIDENCE = 8
"""Saveable tiles a business is asked about: of so many, how many were saved."""

STARTING_HABITS = Source.shop_practice(
    "three of four saveable tiles saved; 3 in 100 cuts and 1 in 200 whole tiles break"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Habits:
    """What a setter's offcuts and breakages have been, until learnt: STARTING_HABITS.

    `saved` and `not_saved` are evidence of reuse; the rates are tiles broken for each
    tile cut and for each tile laid whole.
    """

    saved: int = 6
    not_saved: int = 2
    broken_a_cut: Fraction = Fraction(3, 100)
    broken_a_whole: Fraction = Fraction(1, 200)

    def __post_init__(self) -> None:
        if self.saved < 1 or self.not_saved < 1:
            raise OutOfRange(
                "Evidence of reuse starts at one saved and one not saved tile.",
                field="saved",
            )
        if not (0 <= self.broken_a_cut <= 1 and 0 <= self.broken_a_whole <= 1):
            raise OutOfRange(
                "A share of broken tiles lies between 0 and 1.", field="broken_a_cut"
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Ordering:
    """How sure a business orders its tile, and what it has seen of its setters."""

    habits: Habits = Habits()
    certainty: Fraction = Fraction(95, 100)


ASSUMED = Ordering()
"""Until the business says, or learns, otherwise."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderWish:
    """What the business asks of an order: its certainty, spares and the box."""

    certainty: Fraction = Fraction(95, 100)
    spares: int = 0
    per_box: int = 1

    def __post_init__(self) -> None:
        if not 0 < self.certainty < 1:
            raise OutOfRange(
                "The certainty of an order lies between 0 and 1, such as 95/100.",
                field="certainty",
            )
        if self.spares < 0:
            raise OutOfRange("Spares are 0 or more.", field="spares")


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderLine:
    """An order with its ledger: full + cuts − reused + broken + spare + rounding.

    `reused` and `broken` are the two parts of the need at the certainty asked for.
    `short_chance` is the chance that all the boxes are not enough.
    """

    item: str
    full: int
    cuts: int
    reused: int
    broken: int
    spare: int
    rounding: int
    boxes: int
    per_box: int
    short_chance: Fraction

    @property
    def needed(self) -> int:
        """Tiles that are enough with the certainty asked for."""
        return self.full + self.cuts - self.reused + self.broken

    @property
    def bought(self) -> int:
        """Tiles bought."""
        return self.boxes * self.per_box


def order(plan: ItemPlan, *, habits: Habits, wish: OrderWish) -> OrderLine:
    """Return the boxes that are enough with the certainty asked for.

    Rounds: chances to 1/10^18; boxes up, whole boxes of one lot.
    Method: exact beta for reuse and Poisson for breakage, summed over both.
    """
    chances = need_chances(plan, habits)
    needed = plan.strict + _quantile(chances, wish.certainty)
    broken = _quantile(_broken_chances(_expected_broken(plan, habits)), wish.certainty)
    reused = plan.no_reuse + broken - needed
    boxes = whole_units(Fraction(needed + wish.spares), Fraction(wish.per_box))
    bought = boxes * wish.per_box
    return OrderLine(
        item=plan.item.name,
        full=plan.full,
        cuts=plan.cut,
        reused=reused,
        broken=broken,
        spare=wish.spares,
        rounding=bought - needed - wish.spares,
        boxes=boxes,
        per_box=wish.per_box,
        short_chance=chance_short(plan, habits, tiles=bought),
    )


def chance_short(plan: ItemPlan, habits: Habits, *, tiles: int) -> Fraction:
    """Return the chance that so many tiles are not enough.

    Rounds: to 1/10^18.
    """
    spare = tiles - plan.strict
    if spare < 0:
        return Fraction(1)
    enough = sum(need_chances(plan, habits)[: spare + 1])
    return max(Fraction(0), 1 - Fraction(enough, _WHOLE))


def need_chances(plan: ItemPlan, habits: Habits) -> list[int]:
    """Return the chance of each number of tiles beyond the factory-edge plan.

    Shape: none, one, two … tiles more. Units: 1/10^18.
    """
    lost = _lost_chances(plan.no_reuse - plan.strict, habits)
    broken = _broken_chances(_expected_broken(plan, habits))
    total = [0] * (len(lost) + len(broken) - 1)
    for gone, chance in enumerate(lost):
        if chance:
            for more, other in enumerate(broken):
                total[gone + more] += chance * other // _WHOLE
    return total


def _expected_broken(plan: ItemPlan, habits: Habits) -> Fraction:
    return habits.broken_a_cut * plan.cut + habits.broken_a_whole * plan.full


def _lost_chances(saveable: int, habits: Habits) -> list[int]:
    """Return the chance that so many saveable tiles are not saved.

    A part of a tile that is not saved costs a whole one.
    """
    if saveable <= 0:
        return [_WHOLE]
    below = [
        _not_saved_at_most(Fraction(lost, saveable), habits)
        for lost in range(saveable + 1)
    ]
    return [below[0], *(b - a for a, b in pairwise(below))]


def _not_saved_at_most(share: Fraction, habits: Habits) -> int:
    """Return the chance that at most this share is not saved.

    Method: a beta with whole parameters is a tail of the binomial distribution.
    """
    trials = habits.saved + habits.not_saved - 1
    high, low = share.numerator, share.denominator - share.numerator
    tail = sum(
        comb(trials, hits) * high**hits * low ** (trials - hits)
        for hits in range(habits.not_saved, trials + 1)
    )
    return int(tail * _WHOLE // share.denominator**trials)


@lru_cache(maxsize=4096)
def _broken_chances(expected: Fraction) -> list[int]:
    """Return the chance that 0, 1, … tiles break, down to one in a million million."""
    if expected <= 0:
        return [_WHOLE]
    with localcontext() as context:
        context.prec = 40
        mean = Decimal(expected.numerator) / Decimal(expected.denominator)
        chance = (-mean).exp() * _WHOLE
        found: list[int] = []
        for count in range(_MOST_BROKEN):
            found.append(int(chance))
            chance = chance * mean / (count + 1)
            if count > mean and chance < 1_000_000:
                break
    return found


def _quantile(chances: list[int], certainty: Fraction) -> int:
    """Return the least n whose chances up to it reach the certainty."""
    enough = 0
    for count, chance in enumerate(chances):
        enough += chance
        if Fraction(enough, _WHOLE) >= certainty:
            return count
    return len(chances) - 1

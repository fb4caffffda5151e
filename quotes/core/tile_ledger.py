"""The ledger of a tile's order: whole, cut, used again, broken, spare, rounding.

It speaks of what is bought, so it adds up to the packs of the purchase list; the
chance that those are not enough is worked out from the habits of the setter.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from materials.core.quantities import whole_units
from quotes.core.layout.orders import Habits, chance_short
from quotes.core.layout.reuse import ItemPlan
from quotes.core.tile_counts import TilePlan


@dataclass(frozen=True, slots=True, kw_only=True)
class Ledger:
    """An order of one tile: full + cuts − reused + extra + rounding = bought.

    `extra` is what is added for breakage and spares; `rounding` fills the last box.
    Units: tiles. `short_chance` is the chance that all bought tiles are not enough.
    """

    full: int
    cuts: int
    reused: int
    extra: int
    rounding: int
    boxes: int
    per_box: int
    short_chance: Fraction

    @property
    def bought(self) -> int:
        """Tiles in all boxes."""
        return self.boxes * self.per_box


def ledger_of(
    plans: Sequence[TilePlan], *, quantity: int, needed: int, per_box: int
) -> Ledger:
    """Return the ledger of a tile: `needed` by the set-outs, `quantity` with extras.

    Parts that stand several times count so often.

    Rounds: boxes up.
    """
    item = pooled(plans)
    boxes = whole_units(Fraction(quantity), Fraction(per_box))
    return Ledger(
        full=item.full,
        cuts=item.cut,
        reused=item.no_reuse - needed,
        extra=quantity - needed,
        rounding=boxes * per_box - quantity,
        boxes=boxes,
        per_box=per_box,
        short_chance=chance_short(item, Habits(), tiles=boxes * per_box),
    )


def pooled(plans: Sequence[TilePlan]) -> ItemPlan:
    """Return the figures of all set-outs of one tile as one, repeats counted."""
    rows = [(plan.figures, plan.times[0]) for plan in plans]

    def total(name: str) -> int:
        return sum(getattr(item, name) * times for item, times in rows)

    return replace(
        rows[0][0],
        full=total("full"),
        cut=total("cut"),
        area_bound=total("area_bound"),
        free=None,
        strict=total("strict"),
        lower_bound=total("lower_bound"),
        tiles=(),
    )

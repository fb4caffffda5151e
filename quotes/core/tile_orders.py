"""The order of a tile: what its set-outs take, sure enough, and the ledger of it.

Parts of one tile are ordered together, whatever joint or board they are set with: the
certainty is that of the whole order, not of each part. A tile whose own facts or layer
name a breakage breaks so often, cut or whole; else the business's habits hold.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from materials.core.kinds.tile import Counted
from materials.core.need import MaterialFacts, Step
from materials.core.quantities import whole_units
from materials.core.sources import Source
from materials.core.working import chosen_number, count_text, figure
from quotes.core.layout.orders import (
    ASSUMED,
    STARTING_HABITS,
    Ordering,
    OrderLine,
    OrderWish,
    chance_short,
    order,
)
from quotes.core.layout.reuse import ItemPlan
from quotes.core.tile_counts import TilePlan, repeated, summed

OWN_HABITS = Source.shop_practice("the business's own settings")


def ordering_for(
    material: MaterialFacts, settings: Mapping[str, object], ordering: Ordering
) -> Ordering:
    """Return how a tile is ordered: its own breakage, where it has one, in place.

    Raises: a refusal for a breakage that is no share.
    """
    if settings.get("loss") is None and material.facts.get("loss") is None:
        return ordering
    share = chosen_number("loss", settings, material.facts)
    return replace(
        ordering,
        habits=replace(ordering.habits, broken_a_cut=share, broken_a_whole=share),
    )


def ordered(
    lots: Sequence[tuple[TilePlan, ...] | None], ordering: Ordering
) -> list[Counted | None]:
    """Return the count of each lot; the first of them carries the order of all.

    Shape: one entry a lot, None where its set-outs could not be counted.
    """
    plans = [replace(plan, ordering=ordering) for lot in lots if lot for plan in lot]
    found: list[Counted | None] = []
    left = iter(plans)
    for lot in lots:
        if not lot:
            found.append(None)
            continue
        own = tuple(next(left) for _ in lot)
        steps = tuple(step for plan in own for step in plan.steps)
        found.append(Counted(tiles=0, steps=steps, plan=own))
    for at, one in enumerate(found):
        if one is not None:
            whole = order_of(plans)
            steps = _order_steps(plans, whole)
            found[at] = replace(one, tiles=whole.needed, order=steps)
            break
    return found


def order_of(plans: Sequence[TilePlan]) -> OrderLine:
    """Return the tiles, or sheets of mosaic, that are enough with the certainty."""
    return ordered_item(pooled(plans), plans[0].ordering)


def ordered_item(item: ItemPlan, ordering: Ordering, *, times: int = 1) -> OrderLine:
    """Return the tiles of one plan, repeated, that are enough with the certainty."""
    wish = OrderWish(certainty=ordering.certainty)
    return order(repeated(item, times), habits=ordering.habits, wish=wish)


def ledger_of(plans: Sequence[TilePlan], *, quantity: int, per_box: int) -> OrderLine:
    """Return the ledger of what is bought: it adds up to all tiles of the boxes.

    `quantity` is what is needed before boxes: the order, with spares and whatever
    else was added to it. `short_chance` is that of all boxes together.

    Rounds: boxes up.
    """
    line = order_of(plans)
    boxes = whole_units(Fraction(quantity), Fraction(per_box))
    bought = boxes * per_box
    return replace(
        line,
        spare=quantity - line.needed,
        rounding=bought - quantity,
        boxes=boxes,
        per_box=per_box,
        short_chance=chance_short(
            pooled(plans), plans[0].ordering.habits, tiles=bought
        ),
    )


def pooled(plans: Sequence[TilePlan]) -> ItemPlan:
    """Return the figures of all set-outs of one tile as one, repeats counted."""
    return summed([(plan.figures, plan.times[0]) for plan in plans])


def _order_steps(plans: Sequence[TilePlan], line: OrderLine) -> tuple[Step, ...]:
    ordering = plans[0].ordering
    item, habits = pooled(plans), ordering.habits
    word = "sheet" if plans[0].sheets else "tile"
    saved = Fraction(habits.saved, habits.saved + habits.not_saved)
    reuse = ""
    if item.no_reuse > item.strict:
        reuse = (
            f"{_percent(saved)} of the {item.no_reuse - item.strict} that offcuts can "
            "save are saved, give or take; "
        )
    return (
        Step(
            label=f"Enough in {_percent(ordering.certainty)} of jobs like this",
            formula=(
                f"{item.strict} + {line.needed - item.strict}: {reuse}"
                f"{_percent(habits.broken_a_cut)} of {item.cut} cut and "
                f"{_percent(habits.broken_a_whole)} of {item.full} whole break"
            ),
            result=count_text(line.needed, word),
            source=STARTING_HABITS if ordering == ASSUMED else OWN_HABITS,
        ),
    )


def _percent(share: Fraction) -> str:
    return f"{figure(share * 100, places=2)} %"

"""The last steps of a computed line: the owner's cost, price, the owner's price.

A line comes in with its computed cost and the working so far; it goes out with the
figures that count, the computed ones beside them.
"""

from __future__ import annotations

from dataclasses import replace

from materials.core.need import Step
from quotes.core.document import Line, Overruled
from quotes.core.overrules import Overrules
from quotes.core.pricing import Addition, price_step, priced


def overruled_step(note: Overruled, unit: str = "") -> Step:
    """Return both figures of an overrule and its reason, as a line of working."""
    return Step(
        label=f"The owner's {note.what}",
        formula=f"instead of {note.computed}: {note.reason}",
        result=f"{note.owner} {unit}".strip(),
    )


def settled_line(line: Line, *, addition: Addition, overrules: Overrules) -> Line:
    """Return a line with its price: markup or margin on the cost that counts.

    Rounds: the price once, half up.
    Raises: NotANumber or OutOfRange for an overrule that is no amount.
    """
    cost, cost_note = overrules.settled(line.key, "cost", line.cost)
    computed = priced(cost, line.cost_class, addition)
    price, price_note = overrules.settled(line.key, "price", computed)
    steps = [overruled_step(note) for note in cost_note]
    if cost.amount:
        steps.append(price_step(cost, line.cost_class, addition))
    steps += [overruled_step(note) for note in price_note]
    return replace(
        line,
        cost=cost,
        price=price,
        overruled=(*line.overruled, *cost_note, *price_note),
        working=(*line.working, *steps),
    )

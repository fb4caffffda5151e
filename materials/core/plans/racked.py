"""Kept pieces as stock beside new: one of each, at a share of the price of new."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from materials.core.cutting.records import CutPlan, Stock
from materials.core.lengths import Length
from materials.core.need import RackPiece, Step
from materials.core.plans.records import MaterialPlan, StockSize
from materials.core.sources import Source
from materials.core.working import count_text, run_text

FROM_ROLLS = Source(title="cut plan: pieces from whole rolls, with a proven bound")

NEW_PRICE = 10_000
"""What a new sheet or length counts; kept pieces count their share of it."""


def kept_stock(
    rack: Sequence[RackPiece], size: int, *, price: int = NEW_PRICE
) -> list[Stock]:
    """Return kept pieces as stock of one each, `size` being the area of a new one.

    Rounds: the price down, to a whole unit of the price of a new one.
    """
    return [
        Stock(
            name=piece.key,
            width=piece.width.ticks,
            height=piece.height.ticks,
            price=int(
                piece.value * price * piece.width.ticks * piece.height.ticks / size
            ),
            count=1,
        )
        for piece in rack
    ]


def as_lengths(rack: Sequence[RackPiece]) -> tuple[RackPiece, ...]:
    """Return kept pieces as lengths: the longer side along, one tick across."""
    return tuple(
        replace(piece, width=max(piece.width, piece.height), height=Length(1))
        for piece in rack
    )


def as_rolls(rack: Sequence[RackPiece], width: Length) -> tuple[RackPiece, ...]:
    """Return kept pieces as they lay on their roll: its width across, unrolled upwards.

    The side as wide as the roll lies across; where neither is, the shorter one. What is
    wider than the roll both ways did not come off it, and is left out.
    """
    found = []
    for piece in rack:
        short, long = sorted((piece.width, piece.height))
        across, up = (long, short) if long == width else (short, long)
        if across <= width:
            found.append(replace(piece, width=across, height=up))
    return tuple(found)


def kept_sizes(rack: Sequence[RackPiece], cut: CutPlan) -> tuple[StockSize, ...]:
    """Return the kept pieces that a plan uses, as sizes of stock."""
    used = {sheet.stock for sheet in cut.sheets}
    return tuple(
        StockSize(
            name=piece.key,
            words=piece.words,
            width=piece.width.ticks,
            height=piece.height.ticks,
            mark=piece.mark,
            is_kept=True,
        )
        for piece in rack
        if piece.key in used
    )


def unrolled_steps(plan: MaterialPlan, unrolled: int, system: str) -> list[Step]:
    """Return the working of a plan from rolls: pieces, new roll unrolled, its proof.

    Units: `unrolled` in ticks.
    """
    planned = Step(
        label="Cut plan",
        formula=f"{count_text(len(plan.numbers), 'piece')}, "
        f"{run_text(Length(unrolled), system)} of new roll unrolled",
        result=plan.verdict,
        source=FROM_ROLLS,
    )
    return [planned, *rack_steps(plan)]


def rack_steps(plan: MaterialPlan) -> tuple[Step, ...]:
    """Return the working's line of the pieces a plan takes from the rack."""
    taken = [plan.size_of(one) for one in plan.cut.sheets if plan.size_of(one).is_kept]
    if not taken:
        return ()
    marks = ", ".join(size.mark for size in taken if size.mark)
    count = count_text(len(taken), "piece")
    return (Step(label="From the rack", formula=marks, result=count),)


def kept_verdict(cut: CutPlan, word: str, *, new: int) -> str:
    """Return the proof of a plan that uses the rack, in a sentence."""
    kept = cut.used - new
    said = f"{count_text(new, f'new {word}')} and {count_text(kept, 'kept piece')}"
    if cut.proven:
        return f"{said}; nothing is cheaper for these pieces."
    return f"{said}, the best plan found; cheaper is not ruled out."


def unused_verdict(cut: CutPlan, word: str) -> str:
    """Return the proof of a plan that might use the rack and does not."""
    said = count_text(cut.used, f"new {word}")
    if cut.proven:
        return f"{said}; no kept piece helps."
    return f"{said}, the best plan found; no kept piece was found to help."

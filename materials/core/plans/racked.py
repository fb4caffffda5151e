"""Kept pieces as stock beside new: one of each, at a share of the price of new."""

from __future__ import annotations

from collections.abc import Sequence

from materials.core.cutting.records import CutPlan, Stock
from materials.core.need import RackPiece
from materials.core.plans.records import StockSize
from materials.core.working import count_text

NEW_PRICE = 10_000
"""What a new sheet or length counts; kept pieces count their share of it."""


def kept_stock(rack: Sequence[RackPiece], size: int) -> list[Stock]:
    """Return kept pieces as stock of one each, `size` being the area of a new one.

    Rounds: the price down to a ten-thousandth of a new one.
    """
    return [
        Stock(
            name=piece.key,
            width=piece.width.ticks,
            height=piece.height.ticks,
            price=int(
                piece.value * NEW_PRICE * piece.width.ticks * piece.height.ticks / size
            ),
            count=1,
        )
        for piece in rack
    ]


def kept_sizes(rack: Sequence[RackPiece], cut: CutPlan) -> tuple[StockSize, ...]:
    """Return the kept pieces that a plan uses, as sizes of stock."""
    used = {sheet.stock for sheet in cut.sheets}
    return tuple(
        StockSize(
            name=piece.key,
            words=piece.words,
            width=piece.width.ticks,
            height=piece.height.ticks,
        )
        for piece in rack
        if piece.key in used
    )


def kept_verdict(cut: CutPlan, word: str, *, new: int) -> str:
    """Return the proof of a plan that may use the rack, in a sentence."""
    kept = cut.used - new
    said = f"{count_text(new, f'new {word}')} and {count_text(kept, 'kept piece')}"
    if cut.proven:
        return f"{said}; nothing is cheaper for these pieces."
    return f"{said}, the best plan found; cheaper is not ruled out."

"""Lengths: profiles, trims and battens cut from bars, in one direction only.

A bar is a sheet one unit wide that is only ever cut across; everything else, kerf,
offcuts, prices and proofs, is the same as for sheets.
"""

from __future__ import annotations

from materials.core.cutting.records import (
    QUICK,
    Budget,
    CutPlan,
    Piece,
    Rules,
    Stock,
)
from materials.core.cutting.sheets import plan_sheets


def bar(name: str, length: int, *, price: int = 0, count: int | None = None) -> Stock:
    """Return a bar of stock."""
    return Stock(name=name, width=length, height=1, price=price, count=count)


def length_piece(name: str, length: int, *, count: int = 1) -> Piece:
    """Return a piece of a bar."""
    return Piece(name=name, width=length, height=1, count=count, turn=False)


def plan_lengths(
    pieces: list[Piece],
    stock: list[Stock],
    rules: Rules,
    *,
    seed: int = 0,
    budget: Budget = QUICK,
) -> CutPlan:
    """Return which bars to use and how to cut them, with a lower bound and its proof.

    Units, Shape, Raises and Method as `plan_sheets`; only widths count, heights are
    set aside. `Rules.leftover` looks at its first number.
    """
    across = max(1, rules.kerf)
    return plan_sheets(
        [
            Piece(
                name=row.name,
                width=row.width,
                height=across,
                count=row.count,
                turn=False,
            )
            for row in pieces
        ],
        [
            Stock(
                name=row.name,
                width=row.width,
                height=across,
                price=row.price,
                count=row.count,
            )
            for row in stock
        ],
        Rules(
            kerf=rules.kerf,
            snap=rules.snap,
            leftover=None if rules.leftover is None else (rules.leftover[0], across),
        ),
        seed=seed,
        budget=budget,
    )

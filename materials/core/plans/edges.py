"""Profiles, trims and battens from whole lengths, by an exact plan with its proof."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from materials.core.cutting.lengths import bar, length_piece, plan_lengths
from materials.core.cutting.records import Budget, CutPlan, Rules
from materials.core.need import RackPiece
from materials.core.plans.racked import (
    NEW_PRICE,
    as_lengths,
    kept_sizes,
    kept_stock,
    kept_verdict,
    unused_verdict,
)
from materials.core.plans.records import LENGTH, MaterialPlan, StockSize
from materials.core.plans.words import verdict

NEW = "length"
MOST_PIECES = 400
"""Beyond this a plan would keep a page waiting; the caller counts by first fit."""

WAITING = Budget(work=60_000)
"""Work spent while somebody waits: some 50 ms."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgePiece:
    """A length that is needed, in ticks, and where it goes."""

    place: str
    length: int


def split_at_stock(pieces: Sequence[EdgePiece], stock: int) -> list[EdgePiece]:
    """Return the pieces, those longer than the stock as whole lengths and their rest.

    >>> long = EdgePiece(place="wall", length=60)
    >>> [piece.length for piece in split_at_stock([long], 25)]
    [25, 25, 10]
    """
    found = []
    for piece in pieces:
        left = piece.length
        while left > 0:
            part = min(stock, left)
            found.append(EdgePiece(place=piece.place, length=part))
            left -= part
    return found


def planned_lengths(
    pieces: Sequence[EdgePiece],
    *,
    stock: int,
    kerf: int,
    words: str,
    rack: tuple[RackPiece, ...] = (),
) -> MaterialPlan | None:
    """Return how the pieces are cut from whole lengths, or None for far too many.

    Units: ticks. A piece longer than the stock is joined of several.
    Shape: the numbers of the pieces follow the order they are given in.
    Method: `plan_lengths`; fewest lengths found, with a proven bound beside them.
    """
    parts = split_at_stock(pieces, stock)
    if not 0 < len(parts) <= MOST_PIECES:
        return None
    rows = tuple((f"{n} {part.place}", part.length) for n, part in enumerate(parts, 1))
    bars = as_lengths(rack)
    cut = _cut(rows, stock, kerf, bars)
    return MaterialPlan(
        form=LENGTH,
        sizes=(
            StockSize(name=NEW, words=words, width=stock, height=_across(kerf)),
            *(replace(one, height=_across(kerf)) for one in kept_sizes(bars, cut)),
        ),
        cut=cut,
        numbers={name: n for n, (name, _) in enumerate(rows, 1)},
        places={name: part.place for (name, _), part in zip(rows, parts, strict=True)},
        kerf=kerf,
        verdict=_verdict(cut, has_rack=bool(rack)),
    )


def _verdict(cut: CutPlan, *, has_rack: bool) -> str:
    new = sum(1 for sheet in cut.sheets if sheet.stock == NEW)
    if new < cut.used:
        return kept_verdict(cut, "length", new=new)
    if has_rack:
        return unused_verdict(cut, "length")
    least = cut.lower_bound.sheets or cut.lower_bound.cost // NEW_PRICE
    return verdict(new, least, "length")


@lru_cache(maxsize=256)
def _cut(
    rows: tuple[tuple[str, int], ...],
    stock: int,
    kerf: int,
    rack: tuple[RackPiece, ...],
) -> CutPlan:
    # A piece shorter than the saw cut is cut as long as the saw is wide.
    return plan_lengths(
        [length_piece(name, max(length, kerf)) for name, length in rows],
        [bar(NEW, stock, price=NEW_PRICE), *kept_stock(rack, stock)],
        Rules(kerf=kerf),
        budget=WAITING,
    )


def _across(kerf: int) -> int:
    return max(1, kerf)

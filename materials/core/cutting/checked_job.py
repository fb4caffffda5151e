"""What the independent checker reads: the job as it was asked for.

It shares no code with the planner. Numbers may be texts, whole numbers or Fractions.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from materials.core.quantities import parse_number

Record = Mapping[str, Any]

ACROSS = Fraction(1)


def number_of(value: str | int | Fraction) -> Fraction:
    """Return the exact value of a number in a record."""
    return parse_number(value) if isinstance(value, str) else Fraction(value)


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedStock:
    """A stock size that was offered."""

    name: str
    width: Fraction
    height: Fraction
    price: int
    count: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedPiece:
    """A piece that was asked for."""

    name: str
    width: Fraction
    height: Fraction
    count: int
    turn: bool

    def ways(self) -> list[tuple[Fraction, Fraction]]:
        """Return the sizes it may have as it lies."""
        plain = [(self.width, self.height)]
        return [*plain, (self.height, self.width)] if self.turn else plain


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedJob:
    """What was asked for; lengths have a height of 1 that is never cut."""

    kerf: Fraction
    snap: Fraction
    leftover: tuple[Fraction, Fraction] | None
    stock: list[AskedStock]
    pieces: list[AskedPiece]
    flat: bool

    @classmethod
    def read(cls, job: Record) -> AskedJob:
        """Return the job of a record."""
        flat = job.get("bin") == "length"

        def sides(row: Record) -> dict[str, Fraction]:
            if flat:
                return {"width": number_of(row["length"]), "height": ACROSS}
            keys = ("width", "height")
            return {key: number_of(row[key]) for key in keys}

        kept = job.get("leftover")
        if isinstance(kept, list | tuple):
            kept = [number_of(one) for one in kept]
        elif kept is not None:
            kept = [number_of(kept)]
        return cls(
            kerf=number_of(job.get("kerf", 0)),
            snap=number_of(job.get("snap", 0)),
            leftover=(kept[0], ACROSS if flat else kept[1]) if kept else None,
            stock=[
                AskedStock(
                    name=row["name"],
                    price=int(number_of(row.get("price", 0)) * 100),
                    count=row.get("count"),
                    **sides(row),
                )
                for row in job["stock"]
            ],
            pieces=[
                AskedPiece(
                    name=row["name"],
                    count=row.get("count", 1),
                    turn=bool(row.get("turn", True)) and not flat,
                    **sides(row),
                )
                for row in job["pieces"]
            ],
            flat=flat,
        )

    def grown(self, width: Fraction, height: Fraction) -> tuple[Fraction, Fraction]:
        """Return a size with the kerf added, lengthwise only for lengths."""
        return width + self.kerf, height + (0 if self.flat else self.kerf)

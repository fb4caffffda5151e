"""Bands over corners and seams: any length, pieced where a roll ends.

A band may be joined anywhere by a lap, so rolls are simply unrolled one after the
other; only the laps where one ends and the next begins are lost.
"""

from __future__ import annotations

from dataclasses import dataclass

from materials.core.errors import OutOfRange


@dataclass(frozen=True, slots=True, kw_only=True)
class BandPiece:
    """A piece of band: from which roll, for which run, how long with its lap."""

    roll: int
    run: str
    length: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BandPlan:
    """The rolls of band to buy; `least` is a number that cannot be undercut."""

    rolls: int
    joints: int
    least: int
    pieces: tuple[BandPiece, ...]

    @property
    def proven(self) -> bool:
        """Return whether no plan needs fewer rolls."""
        return self.rolls == self.least


def plan_bands(runs: list[tuple[str, int]], *, roll: int, lap: int) -> BandPlan:
    """Return how many rolls of band cover all runs, and where they are joined.

    Units: all lengths in one whole unit; a run is a name and a length.
    Shape: pieces in the order of unrolling; no run, no roll.
    Rounds: up to whole rolls.
    Raises: OutOfRange when the lap is as long as the roll or a run is not positive.
    Method: longest runs first, and a rest goes where a run ends exactly or with room
    for a lap; every run that a roll's end cuts gains one lap. The bound is the plain
    length over the roll's.

    >>> plan_bands([("a", 9), ("b", 9)], roll=10, lap=1).rolls
    2
    """
    if lap >= roll:
        raise OutOfRange("The lap is as long as the roll; check both.", field="lap")
    if any(length <= 0 for _name, length in runs):
        raise OutOfRange("Every run needs a length above zero.", field="runs")
    whole = _unjoined(runs, roll)
    joined = _unrolled(runs, roll, lap)
    pieces = whole if whole and whole[-1].roll < joined[-1].roll else joined
    total = sum(length for _name, length in runs)
    return BandPlan(
        rolls=1 + max((piece.roll for piece in pieces), default=-1),
        joints=len(pieces) - len(runs),
        least=-(-total // roll),
        pieces=tuple(pieces),
    )


def _unrolled(runs: list[tuple[str, int]], roll: int, lap: int) -> list[BandPiece]:
    """Unroll one roll after the other; a rest no longer than the lap is left."""
    pieces = []
    at, left = 0, roll
    for name, length in sorted(runs, key=lambda run: (-run[1], run[0])):
        need = length
        while need > left:
            if left > lap:
                pieces.append(BandPiece(roll=at, run=name, length=left))
                need += lap - left
            at, left = at + 1, roll
        pieces.append(BandPiece(roll=at, run=name, length=need))
        left -= need
    return pieces


def _unjoined(runs: list[tuple[str, int]], roll: int) -> list[BandPiece]:
    """Put whole runs into rolls, first fit by falling length; none if one is longer."""
    left: list[int] = []
    pieces = []
    for name, length in sorted(runs, key=lambda run: (-run[1], run[0])):
        if length > roll:
            return []
        at = next((n for n, rest in enumerate(left) if rest >= length), len(left))
        if at == len(left):
            left.append(roll)
        left[at] -= length
        pieces.append(BandPiece(roll=at, run=name, length=length))
    return sorted(pieces, key=lambda piece: piece.roll)

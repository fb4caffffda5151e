"""The ways written out: plain JSON values in the file's unit, and a text to read.

Lengths and areas are decimal texts with at most four places; a slope is an exact
fraction, such as 5/156, or nine decimals when it is irrational.
"""

from __future__ import annotations

import json
from fractions import Fraction
from itertools import groupby
from typing import Any

from materials.core import amounts
from materials.core.cutting.pan_file import PanJob
from materials.core.cutting.pan_floor import fall_text
from materials.core.cutting.pan_outlines import (
    Number,
    Point,
    Ring,
    hole_rings,
    outer_rings,
)
from materials.core.cutting.pan_records import (
    BoardPiece,
    Fit,
    Height,
    PanPiece,
    RefusedPan,
    Run,
    Step,
    Way,
)
from materials.core.quantities import decimal_text, fixed_text

PLACES = 4
SLOPE_PLACES = 9
LONGEST_FRACTION = 10**9


def answer(job: PanJob, fit: Fit) -> dict[str, Any]:
    """Return every way and refusal as JSON values, cheapest way first."""
    words = _Words(unit=job.unit_ticks)
    return {
        "unit": job.unit,
        "rule": {
            "min": slope_text(job.rule.least),
            "max": slope_text(job.rule.most),
            "run": job.rule.run,
            "source": None if job.rule.source is None else str(job.rule.source),
        },
        "ways": [words.way(way) for way in fit.ways],
        "refused": [
            {"pan": one.pan, "turn": one.turn, "reason": one.reason}
            for one in fit.refused
        ],
    }


def answer_text(record: dict[str, Any]) -> str:
    """Return the answer as it is written to a file: equal answers, equal bytes."""
    return json.dumps(record, indent=1, ensure_ascii=False) + "\n"


def slope_text(slope: Fraction) -> str:
    """Return a slope as an exact fraction, or in decimals when it has none."""
    if slope.denominator <= LONGEST_FRACTION:
        return str(slope)
    return decimal_text(slope, places=SLOPE_PLACES)


class _Words:
    """Write records in the file's unit."""

    def __init__(self, *, unit: int) -> None:
        self.unit = unit

    def length(self, ticks: Number) -> str:
        return decimal_text(Fraction(ticks) / self.unit, places=PLACES)

    def area(self, square: Number) -> str:
        return decimal_text(Fraction(square) / self.unit**2, places=PLACES)

    def volume(self, cubic: Number) -> str:
        return decimal_text(Fraction(cubic) / self.unit**3, places=PLACES)

    def point(self, point: Point) -> list[str]:
        return [self.length(point[0]), self.length(point[1])]

    def ring(self, ring: Ring) -> list[list[str]]:
        return [self.point(point) for point in ring]

    def way(self, way: Way) -> dict[str, Any]:
        return {
            "kind": way.kind,
            "name": way.name,
            "cost": amounts.plain(way.cost),
            "pieces": [self.piece(piece) for piece in way.pieces],
            "boards": [self.board(piece) for piece in way.boards],
            "mortar": self.bed(way),
            "slope": slope_text(way.slope),
            "runs": [self.run(run) for run in way.runs],
            "valley": self.run(way.valley),
            "heights": [self.height(height) for height in way.heights],
            "steps": [self.step(step) for step in way.steps],
            "used_area": self.area(way.used),
            "trimmed_area": self.area(way.trimmed),
            "trimmed_share": decimal_text(way.trimmed_share, places=6),
            "trimmed_money": amounts.plain(way.trimmed_money),
            "rack_money": amounts.plain(way.rack_money),
            "labour": way.labour,
            "sentence": way.sentence,
            "cautions": list(way.cautions),
        }

    def piece(self, piece: PanPiece) -> dict[str, Any]:
        keep = outer_rings(piece.keep)
        record: dict[str, Any] = {
            "pan": piece.pan.name,
            "turn": piece.turn,
            "at": self.point(piece.at),
            "corners": self.ring(piece.corners),
            "keep": self.ring(keep[0]),
            "keep_on_pan": self.ring(outer_rings(piece.keep_on_pan)[0]),
            "slice": [self.length(piece.slice_from), self.length(piece.slice_to)],
            "trims": [
                {"side": trim.side, "amount": self.length(trim.amount)}
                for trim in piece.trims
            ],
            "price": amounts.plain(piece.pan.price),
            "used_area": self.area(piece.used),
            "trimmed_area": self.area(piece.trimmed),
            "trimmed_money": amounts.plain(piece.trimmed_money),
            "rack_money": amounts.plain(piece.rack_money),
        }
        holes = hole_rings(piece.keep)
        if holes:
            record["holes"] = [self.ring(ring) for ring in holes]
        return record

    def board(self, piece: BoardPiece) -> dict[str, Any]:
        cost = amounts.extend(piece.board.price, Fraction(piece.count))
        return {
            "board": piece.board.name,
            "count": piece.count,
            "outline": self.ring(piece.outline),
            "area": self.area(piece.area),
            "cost": amounts.plain(cost),
        }

    def bed(self, way: Way) -> dict[str, Any] | None:
        bed = way.bed
        if bed is None:
            return None
        return {
            "volume": self.volume(bed.volume),
            "volume_exact": str(bed.volume / self.unit**3),
            "least": self.length(bed.least),
            "most": self.length(bed.most),
            "bags": bed.bags,
            "kg": None if bed.kg is None else fixed_text(bed.kg, places=1),
        }

    def run(self, run: Run) -> dict[str, Any]:
        return {
            "to": run.to,
            "index": run.index,
            "at": self.point(run.at),
            "run": self.length(run.ticks),
            "slope": slope_text(run.slope),
        }

    def height(self, height: Height) -> dict[str, Any]:
        ticks = height.ticks
        return {
            "where": height.where,
            "index": height.index,
            "at": self.point(height.at),
            "height": None if ticks is None else self.length(ticks),
        }

    def step(self, step: Step) -> dict[str, Any]:
        return {
            "where": step.where,
            "from": self.point(step.start),
            "to": self.point(step.end),
            "step": [self.length(step.at_start), self.length(step.at_end)],
        }


def summary(job: PanJob, fit: Fit) -> str:
    """Return the ways and refusals for reading, cheapest first."""
    lines = [] if fit.ways else ["Nothing does; the reasons follow."]
    for number, way in enumerate(fit.ways, 1):
        kind = way.kind.replace("_", " ").capitalize()
        lines.append(f"{number}. {kind}: {way.name}, {amounts.plain(way.cost)}")
        lines.append(f"   {way.sentence}")
        lines.append(f"   To the farthest corner {fall_text(way.valley.slope)}.")
        lines += [f"   {line}" for line in _heights(job, way.heights)]
        lines += [f"   Caution: {caution}" for caution in way.cautions]
    refused = groupby(fit.refused, key=lambda one: one.reason)
    lines += [_refused(reason, list(same)) for reason, same in refused]
    return "\n".join(lines)


def _heights(job: PanJob, heights: tuple[Height, ...]) -> list[str]:
    """Return the heights, each with the places that share it, in order."""
    words = _Words(unit=job.unit_ticks)
    found: dict[str, list[str]] = {}
    for height in heights:
        text = "left" if height.ticks is None else words.length(height.ticks)
        found.setdefault(text, []).append(f"{height.where} {height.index}")
    return [f"{text} at {', '.join(places)}" for text, places in found.items()]


def _refused(reason: str, same: list[RefusedPan]) -> str:
    turns = [str(one.turn) for one in same if one.turn is not None]
    return f"- {reason} (turned {', '.join(turns)}°)" if turns else f"- {reason}"

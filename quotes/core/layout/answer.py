"""Write a layout out: plain values for JSON, and a summary to read.

Lengths are decimal strings in the file's unit with at most four places; counts are
whole numbers. Equal input gives equal output, byte for byte.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from materials.core.lengths import MM
from materials.core.quantities import decimal_text, fixed_text, half_up
from quotes.core.geometry import TickRing
from quotes.core.layout.file import PLACES, UNITS, LayFile
from quotes.core.layout.records import PieceClass, Tally
from quotes.core.layout.reuse import CutPlan, CutTile, ItemPlan, cut_plan
from quotes.core.pattern import Lattice

Json = dict[str, "Json"] | list["Json"] | str | int | bool | None

_ALIKE = Fraction(MM, 100)


@dataclass(frozen=True, slots=True)
class _Printer:
    """Print ticks in one unit."""

    ticks: int

    def length(self, value: Fraction | int) -> str:
        return decimal_text(Fraction(value) / self.ticks, places=PLACES)

    def area(self, value: Fraction | int) -> str:
        return decimal_text(Fraction(value) / self.ticks**2, places=PLACES)

    def outline(self, ring: TickRing) -> Json:
        return [[self.length(x), self.length(y)] for x, y in ring]


def answer(file: LayFile, tallies: Sequence[Tally]) -> tuple[dict[str, Json], CutPlan]:
    """Return what a layout comes to, ready for JSON, and the plan behind it."""
    plan = cut_plan(tallies, file.rules)
    printer = _Printer(UNITS[file.unit])
    sizes = [t.smallest_cut for t in tallies if t.smallest_cut is not None]
    joint_area = sum((tally.joint_area for tally in tallies), Fraction(0))
    joint_length = sum((tally.joint_length for tally in tallies), Fraction(0))
    return {
        "full": plan.full,
        "cut": plan.cut,
        "tiles": _tiles(plan),
        "proven": plan.is_proven,
        "lower_bound": plan.lower_bound,
        "smallest_cut": printer.length(min(sizes)) if sizes else None,
        "waste": fixed_text(waste(plan, tallies), places=6),
        "pieces": _pieces((t.pieces for t in tallies), file.lattice, printer),
        "joint_area": printer.area(joint_area),
        "joint_length": printer.length(joint_length),
        "items": {item.item.name: _item(item) for item in plan.items},
        "absorbed": _pieces((t.absorbed for t in tallies), file.lattice, printer),
        "origin": [
            [printer.length(v) for v in tally.set_out.origin] for tally in tallies
        ],
        "plan": [_tile(tile, printer) for tile in plan.tiles],
    }, plan


def waste(plan: CutPlan, tallies: Sequence[Tally]) -> Fraction:
    """Return the share of tile bought beyond the area of the surfaces."""
    bought = sum((item.strict * item.item.area for item in plan.items), Fraction(0))
    area = sum((tally.surface.area for tally in tallies), Fraction(0))
    return (bought - area) / area


def _tiles(plan: CutPlan | ItemPlan) -> Json:
    return {
        "area_bound": plan.area_bound,
        "free": plan.free,
        "strict": plan.strict,
        "no_reuse": plan.no_reuse,
    }


def _item(item: ItemPlan) -> Json:
    return {
        "full": item.full,
        "cut": item.cut,
        "tiles": _tiles(item),
        "proven": item.is_proven,
        "lower_bound": item.lower_bound,
    }


def _tile(tile: CutTile, printer: _Printer) -> Json:
    return {
        "item": tile.item,
        "pieces": [
            {
                "surface": piece.surface,
                "outline": printer.outline(piece.outline),
                "turn": piece.turn,
            }
            for piece in tile.pieces
        ],
    }


def _pieces(
    groups: Iterable[Sequence[PieceClass]], lattice: Lattice, printer: _Printer
) -> Json:
    rows: dict[tuple[str, Fraction, Fraction, Fraction], tuple[PieceClass, int]] = {}
    for group in groups:
        for piece in group:
            key = (
                lattice.items[piece.item].name,
                half_up(Fraction(piece.width), _ALIKE),
                half_up(Fraction(piece.height), _ALIKE),
                half_up(Fraction(piece.area), _ALIKE * MM),
            )
            first, count = rows.get(key, (piece, 0))
            rows[key] = (first, count + piece.count)
    ordered = sorted(rows.items(), key=lambda row: (-row[0][3], row[0]))
    return [
        {
            "item": key[0],
            "width": printer.length(piece.width),
            "height": printer.length(piece.height),
            "area": printer.area(piece.area),
            "count": count,
        }
        for key, (piece, count) in ordered
    ]


def summary(file: LayFile, answered: dict[str, Json], plan: CutPlan) -> str:
    """Return the layout as a few lines to read."""
    unit = file.unit
    lines = []
    for item in plan.items:
        free = (
            "" if item.free is None else f"{item.free} if pieces could lie anywhere, "
        )
        proof = (
            "no plan needs fewer"
            if item.is_proven
            else f"at least {item.lower_bound} by proof"
        )
        lines += [
            f"{item.item.name}: {item.full} full and {item.cut} cut.",
            f"  Buy {item.strict} with factory edges kept ({proof}); "
            f"{free}{item.no_reuse} without reuse, {item.area_bound} by area alone.",
        ]
    if file.lattice.note:
        lines.append(file.lattice.note)
    smallest = answered["smallest_cut"]
    lines.append(
        f"Smallest cut {smallest} {unit}." if smallest else "Nothing has to be cut."
    )
    share = fixed_text(Fraction(str(answered["waste"])) * 100, places=1)
    lines.append(f"Tile beyond the area: {share} %.")
    lines.append(
        f"Joint: {answered['joint_length']} {unit} long, "
        f"{answered['joint_area']} {unit}² with slivers."
    )
    absorbed = answered["absorbed"]
    if isinstance(absorbed, list) and absorbed:
        lines.append(
            f"{len(absorbed)} kinds of sliver narrower than the joint are left to it."
        )
    origins = answered["origin"]
    if isinstance(origins, list):
        for rank, origin in enumerate(origins):
            x, y = origin if isinstance(origin, list) else ("", "")
            lines.append(f"Surface {rank}: origin {x}, {y} {unit}.")
    return "\n".join(lines)

"""Mosaic by set-out: chips counted on the surface, sheets bought, rests used again.

Chips are laid on their own lattice; where a wall falls between chips the mesh is cut
there, where it falls in a chip the chip is cut. What is left of a sheet serves
elsewhere in whole chips.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from materials.core.errors import OutOfRange
from materials.core.kinds.tile import CHIP_LATTICES
from materials.core.lengths import NOTHING, Length
from materials.core.need import MaterialFacts, TileFacts
from materials.core.working import length_in
from quotes.core.layout.sheets import Sheet
from quotes.core.pattern import Lattice, made
from quotes.core.patterns import pattern_named

MOST_CHIPS = 150_000
"""Beyond this a count would keep a page waiting; the bounds stand in for it."""

_NEAR = Fraction(1, 8)
"""A sheet may be this share of a chip short or long of whole chips: printed sheet
sizes are rounded, and leave out or count in the joint at the edge."""

_BRICK: Mapping[str, Fraction | bool] = {"offset": Fraction(1, 2), "returning": True}


def is_mosaic(tile: TileFacts) -> bool:
    """Return whether a tile is a sheet of chips."""
    return tile.chip_length > NOTHING


def chip_lattice(material: MaterialFacts, tile: TileFacts) -> Lattice:
    """Return the lattice of the chips, with the joint of the sheet.

    Raises: OutOfRange for a chip its lattice does not take.
    """
    kind = _kind(material)
    joint = _joint(material, tile).ticks
    if kind == "hexagon":
        across = {"across": tile.chip_length.ticks}
        return made(pattern_named("hexagon"), across, joint, {})
    sizes = {"length": tile.chip_length.ticks, "width": tile.chip_width.ticks}
    if kind == "brick":
        return made(pattern_named("running_bond"), sizes, joint, _BRICK)
    return made(pattern_named("stack"), sizes, joint, {})


def sheet_of(material: MaterialFacts, tile: TileFacts, lattice: Lattice) -> Sheet:
    """Return the sheet in chips, from its printed size.

    Rounds: to whole chips; an interlocking sheet's half chip at the end is its
    neighbour's.
    Raises: OutOfRange for a sheet that is no whole number of chips.
    """
    kind = _kind(material)
    joint = _joint(material, tile)
    along, upright = (Fraction(step) for step in lattice.pitch)
    square = kind == "square"
    across = _chips(tile.length + joint, along, ("length", square))
    up = _chips(tile.width + joint, upright, ("width", kind != "hexagon"))
    return Sheet(
        across=across,
        up=up,
        interlocks=not square,
        turns=(
            square
            and tile.chip_length == tile.chip_width
            and material.facts.get("directional") is not True
        ),
    )


def _chips(side: Length, step: Fraction, rule: tuple[str, bool]) -> int:
    """Return how many chips go along a side of the sheet.

    `rule` names the side and says whether it must end at a chip.
    """
    name, is_whole = rule
    share = Fraction(side.ticks) / step
    nearest = (share + Fraction(1, 2)) // 1
    chips = nearest if is_whole else (share + _NEAR) // 1
    if chips < 1 or (is_whole and abs(share - chips) > _NEAR):
        raise OutOfRange(
            f"The {name} of the sheet is no whole number of chips and joints; "
            "check sheet, chip and joint.",
            field=name,
        )
    return int(chips)


def _kind(material: MaterialFacts) -> str:
    kind = str(material.facts.get("chip_lattice") or CHIP_LATTICES[0])
    return kind if kind in CHIP_LATTICES else CHIP_LATTICES[0]


def _joint(material: MaterialFacts, tile: TileFacts) -> Length:
    """Return the joint the mesh holds; the layer's own cannot change it."""
    return length_in(material.facts, "joint", tile.joint)


def are_too_many(area_ticks2: Sequence[int], lattice: Lattice) -> bool:
    """Return whether the parts would take more chips than a page waits for."""
    across, up = (Fraction(step) for step in lattice.pitch)
    return sum(area_ticks2) > MOST_CHIPS * across * up

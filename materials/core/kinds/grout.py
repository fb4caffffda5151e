"""Grout by the exact module formula: the share of joint in a tile with its joint.

The short form (A + B) / (A · B) counts every crossing of two joints twice; it is
1.5 % too much for a 300 mm tile with a 3 mm joint and 80 % too much for a 1 in
mosaic with a 1/2 in joint, so it is not used.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from materials.core.areas import TICKS2_PER_SQ_M
from materials.core.errors import OutOfRange
from materials.core.kind import Kind, Parameter
from materials.core.lengths import Length
from materials.core.need import Extent, MaterialFacts, Need, Step, TileFacts
from materials.core.sources import Source
from materials.core.working import (
    chosen_length,
    chosen_number,
    demand,
    figure,
    places_of,
    system_of,
    with_loss,
)

GEOMETRY = Source(title="geometry: area of joint in one tile with its joint")

DENSITY = Fraction("1.6")
"""kg of dry powder for a litre of joint, cement grout, when the sheet says none."""

LEAST_KG_PER_M2 = Fraction("0.03")
MOST_KG_PER_M2 = Fraction(6)
"""Outside this a density or a joint has slipped a decimal point."""


def joint_share(tile: TileFacts) -> Fraction:
    """Return the share of the surface that is joint, exactly.

    Mosaic counts by its chip, not by the sheet the chips hang on; a pattern of several
    sizes by all of them.

    >>> mm = Length.mm
    >>> tile = TileFacts(length=mm(297), width=mm(97), thickness=mm(8), joint=mm(3))
    >>> joint_share(tile)
    Fraction(397, 10000)
    """
    if tile.share:
        return tile.share
    length = (tile.chip_length or tile.length).ticks
    width = (tile.chip_width or tile.width).ticks
    joint = tile.joint.ticks
    return 1 - Fraction(length * width, (length + joint) * (width + joint))


def grout_volume(extent: Extent, tile: TileFacts, depth: Length) -> Fraction:
    """Return the volume of joint of one repeat of an extent.

    Units: litres. Method: share of joint × area × depth; the area is net.
    """
    area = Fraction(extent.area.ticks2, TICKS2_PER_SQ_M)
    return joint_share(tile) * area * depth.in_mm


def need(
    material: MaterialFacts, extents: Sequence[Extent], settings: Mapping[str, object]
) -> Need:
    """Return the mass of grout for the joints of the tiled extents.

    Units: kg of dry powder. The layer may set `joint`, `depth`, `density`, `loss`;
    depth is otherwise the tile's thickness.
    Raises: OutOfRange for an extent without a tile, a joint outside what the grout
    is for is not refused but noted, and a mass outside 0.03 to 6 kg/m².
    """
    density = chosen_number("density", settings, material.facts, DENSITY)
    net = Fraction(0)
    steps: list[Step] = []
    notes: list[str] = []
    for extent in extents:
        tile = _tile_of(extent, settings)
        if not tile.joint:
            continue
        depth = chosen_length("depth", settings, {}, tile.thickness)
        mass = grout_volume(extent, tile, depth) * density * extent.times
        net += mass
        steps.append(_step(extent, tile, depth, density, mass, system_of(settings)))
        _check(extent, mass)
        notes.extend(_joint_notes(material, tile, system_of(settings)))
    loss_share = chosen_number("loss", settings, material.facts)
    quantity, loss, loss_steps = with_loss(net, loss_share, "kg")
    return Need(
        material=material.code,
        unit="kg",
        quantity=quantity,
        loss=loss,
        working=(*steps, *loss_steps),
        places=places_of(extents),
        notes=tuple(dict.fromkeys(notes)),
    )


def _tile_of(extent: Extent, settings: Mapping[str, object]) -> TileFacts:
    if extent.tile is None:
        raise OutOfRange(
            f"Grout on {extent.place} needs a tile to go between; add the tile layer.",
            field="layers",
        )
    joint = chosen_length("joint", settings, {}, extent.tile.joint)
    tile = extent.tile
    share = tile.share
    if share and tile.joint and joint != tile.joint:
        # A joint of another width widens or narrows all joints of the pattern alike.
        share = min(share * joint.ticks / tile.joint.ticks, Fraction(1))
    return TileFacts(
        length=tile.length,
        width=tile.width,
        thickness=tile.thickness,
        joint=joint,
        chip_length=tile.chip_length,
        chip_width=tile.chip_width,
        share=share,
    )


def _step(
    extent: Extent,
    tile: TileFacts,
    depth: Length,
    density: Fraction,
    mass: Fraction,
    system: str,
) -> Step:
    share = joint_share(tile)
    a = (tile.chip_length or tile.length).text(system)
    b = (tile.chip_width or tile.width).text(system)
    joint = tile.joint.text(system)
    times = f" × {extent.times}" if extent.times > 1 else ""
    how = f"1 − {a} × {b} ÷ (({a} + {joint}) × ({b} + {joint}))"
    if tile.share:
        how = f"joint in one repeat of the pattern, {joint} wide, ÷ the repeat"
    return Step(
        label=f"Joints, {extent.place}",
        formula=(
            f"{how} = {figure(share, places=5)}; × {extent.area.text(system)} × "
            f"{depth.text(system)} deep × {figure(density, 'kg/l')}{times}"
        ),
        result=figure(mass, "kg"),
        source=GEOMETRY,
    )


def _check(extent: Extent, mass: Fraction) -> None:
    area = extent.area.sq_m * extent.times
    if not area:
        return
    rate = mass / area
    demand(
        LEAST_KG_PER_M2 <= rate <= MOST_KG_PER_M2,
        f"Grout on {extent.place} comes to {figure(rate, places=2)} kg/m²; "
        "check joint, depth and density: 0.03 to 6 is to be expected.",
        field="density",
    )


def _joint_notes(material: MaterialFacts, tile: TileFacts, system: str) -> list[str]:
    least = chosen_length("joint_min", {}, material.facts)
    most = chosen_length("joint_max", {}, material.facts)
    if (least and tile.joint < least) or (most and tile.joint > most):
        return [
            f"{material.name} is for joints of {least.text(system)} to "
            f"{most.text(system)}; the joint is {tile.joint.text(system)}."
        ]
    return []


def mass_per_area(tile: TileFacts, depth: Length, density: Fraction) -> Fraction:
    """Return the mass of grout for one square metre, without loss.

    Units: kg/m², density in kg/l.
    """
    return joint_share(tile) * depth.in_mm * density


def coverage(
    tile: TileFacts, depth: Length, bag: Fraction, density: Fraction
) -> Fraction:
    """Return the area one bag grouts, as data sheets print it, without loss.

    Units: m²; bag in kg, density in kg/l.
    """
    return bag / mass_per_area(tile, depth, density)


KIND = Kind(
    key="grout",
    label="Grout",
    sold_as="bag",
    unit="kg",
    parameters=(
        Parameter(
            name="density",
            label="Density",
            type="number",
            unit="kg/l",
            help="dry powder for a litre of joint",
            default="1.6",
        ),
        Parameter(
            name="joint_min", label="Narrowest joint", type="length", required=False
        ),
        Parameter(
            name="joint_max", label="Widest joint", type="length", required=False
        ),
        Parameter(name="loss", label="Loss", type="rate", default="10 %"),
        Parameter(
            name="wet_rated",
            label="For under water",
            type="yes_no",
            required=False,
            help="yes only where the sheet says so",
        ),
        Parameter(name="colour", label="Colour", type="text", required=False),
    ),
    need=need,
    source=GEOMETRY,
)

"""Waterproofing: sheet in strips with laps, liquid in coats, bands along corners."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from materials.core.kind import Kind, Parameter
from materials.core.lengths import MM, NOTHING, Length
from materials.core.need import Extent, MaterialFacts, Need, Point, Step
from materials.core.outlines import sides_of
from materials.core.sources import Source
from materials.core.working import (
    area_step,
    bounds_of,
    chosen_length,
    chosen_number,
    demand,
    figure,
    length_in,
    places_of,
    run_text,
    system_of,
    total_area,
    total_corners,
    with_loss,
)

STRIPS = Source(title="geometry: strips of the roll's width with laps, both ways tried")
COATS = Source(title="product sheet: mass of one coat for a square metre")
BANDS = Source(title="count: metres of corner and seam, laid with a lap at each end")

LAP = Length(50 * MM)
"""From memory (50 mm or 2 in is usual): the sheet's own figure goes before it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Strips:
    """Strips of a roll that cover one extent: how many, how long, which way."""

    count: int
    length: Length
    along: str
    width: Length
    height: Length

    @property
    def total(self) -> Length:
        """The length of roll they take."""
        return self.length * self.count


def strips_over(
    width: Length, height: Length, roll: Length, lap: Length
) -> Strips:  # fmt: skip
    """Return the strips that cover a rectangle with least roll, of the two ways.

    Strips of the roll's width overlap by the lap: n = ⌈(across − lap) ÷ (roll − lap)⌉.

    >>> mm = Length.mm
    >>> strips_over(mm(2400), mm(3000), mm(1000), mm(50)).total.in_m
    Fraction(9, 1)
    """
    options = [
        Strips(
            count=max(1, -(-(across - lap).ticks // (roll - lap).ticks)),
            length=along,
            along=name,
            width=width,
            height=height,
        )
        for across, along, name in (
            (width, height, "upright"),
            (height, width, "level"),
        )
    ]
    return min(options, key=lambda strips: strips.total)


def need(
    material: MaterialFacts, extents: Sequence[Extent], settings: Mapping[str, object]
) -> Need:
    """Return how much membrane the extents take, by the form of the material.

    Units: m of roll for sheet and band, kg for liquid.
    """
    form = material.facts.get("form")
    if form == "liquid":
        return _liquid(material, extents, settings)
    if form == "band":
        return _band(material, extents, settings)
    return _sheet(material, extents, settings)


def _sheet(
    material: MaterialFacts, extents: Sequence[Extent], settings: Mapping[str, object]
) -> Need:
    """Return metres of roll: strips over the rectangle round each extent.

    The rectangle grows by `turn_up` on each side that an edge of kind wall lies on.
    Strips longer than a roll are joined: the bound says so, laps of such joints are
    not counted.
    """
    system = system_of(settings)
    roll = length_in(material.facts, "roll_width")
    lap = chosen_length("lap", settings, material.facts, LAP)
    demand(
        roll > lap,
        f"{material.name} is {roll.text(system)} wide and laps {lap.text(system)}: "
        "nothing is left to cover.",
        field="lap",
    )
    total = NOTHING
    steps = []
    for extent in extents:
        strips = strips_over(*_with_turn_up(extent, settings, material), roll, lap)
        total += strips.total * extent.times
        steps.append(_strip_step(extent, strips, roll, lap, system))
    net = total_area(extents).sq_m / roll.in_m
    return Need(
        material=material.code,
        unit="m",
        quantity=total.in_m,
        loss=max(Fraction(0), total.in_m - net),
        working=(area_step(extents, system), *steps),
        bound=(
            "Strips over the rectangle round each surface, openings not taken out; "
            "a strip may be joined where a roll ends."
        ),
        places=places_of(extents),
    )


def _strip_step(
    extent: Extent, strips: Strips, roll: Length, lap: Length, system: str
) -> Step:
    return Step(
        label=f"Strips, {extent.place}",
        formula=(
            f"{strips.width.text(system)} × {strips.height.text(system)} from a roll "
            f"{roll.text(system)} wide, lap {lap.text(system)}: {strips.count} "
            f"{strips.along} × {strips.length.text(system)} × {extent.times}"
        ),
        result=run_text(strips.total * extent.times, system),
        source=STRIPS,
    )


def _with_turn_up(
    extent: Extent, settings: Mapping[str, object], material: MaterialFacts
) -> tuple[Length, Length]:
    turn_up = chosen_length("turn_up", settings, material.facts)
    width, height = bounds_of(extent.outline)
    turned = {
        side
        for line, edge in zip(sides_of(extent.outline), extent.edges, strict=False)
        if edge.kind == "wall"
        for side in _lies_on(line, extent.outline)
    }
    across = sum(1 for side in turned if side in ("left", "right"))
    upright = len(turned) - across
    return width + turn_up * across, height + turn_up * upright


def _lies_on(side: tuple[Point, Point], outline: Sequence[Point]) -> list[str]:
    """Return the sides of the rectangle round an outline that a side lies on."""
    across = [x for x, _ in outline]
    upright = [y for _, y in outline]
    (x1, y1), (x2, y2) = side
    found = []
    if x1 == x2:
        found += ["left"] * (x1 == min(across)) + ["right"] * (x1 == max(across))
    if y1 == y2:
        found += ["bottom"] * (y1 == min(upright)) + ["top"] * (y1 == max(upright))
    return found


def _liquid(
    material: MaterialFacts, extents: Sequence[Extent], settings: Mapping[str, object]
) -> Need:
    """Return the mass of so many coats; turned up along the corners by `turn_up`."""
    system = system_of(settings)
    per_coat = chosen_number("per_coat", settings, material.facts)
    demand(
        per_coat > 0,
        f"{material.name} needs the mass of one coat; take it from its sheet.",
        field="per_coat",
    )
    coats = int(chosen_number("coats", settings, material.facts, Fraction(2)))
    turn_up = chosen_length("turn_up", settings, material.facts)
    corners = total_corners(extents)
    area = total_area(extents).sq_m + corners.by(turn_up).sq_m
    net = area * per_coat * coats
    share = chosen_number("loss", settings, material.facts)
    quantity, loss, loss_steps = with_loss(net, share, "kg")
    step = Step(
        label="Coats",
        formula=(f"{figure(area, 'm²')} × {figure(per_coat, 'kg/m²')} × {coats} coats"),
        result=figure(net, "kg"),
        source=COATS,
    )
    return Need(
        material=material.code,
        unit="kg",
        quantity=quantity,
        loss=loss,
        working=(area_step(extents, system), step, *loss_steps),
        places=places_of(extents),
    )


def _band(
    material: MaterialFacts, extents: Sequence[Extent], settings: Mapping[str, object]
) -> Need:
    """Return the metres of band: changes of plane, and seams where they are asked.

    `along` "all" also counts the seams between boards of the `sheet_width` given:
    net area ÷ sheet width, a bound (each panel's long side once).
    """
    system = system_of(settings)
    lap = chosen_length("lap", settings, material.facts, LAP)
    corners = total_corners(extents)
    outside = sum((e.outside_corners * e.times for e in extents), start=NOTHING)
    seams = NOTHING
    sheet = length_in(settings, "sheet_width")
    if settings.get("along") == "all" and sheet:
        seams = Length(total_area(extents).ticks2 // sheet.ticks)
    runs = sum(e.times for e in extents if e.inside_corners or e.outside_corners)
    ends = lap * runs
    total = corners + outside + seams + ends
    return Need(
        material=material.code,
        unit="m",
        quantity=total.in_m,
        loss=ends.in_m,
        working=(
            Step(
                label="Bands",
                formula=(
                    f"changes of plane {run_text(corners + outside, system)}, seams "
                    f"{run_text(seams, system)}, laps {run_text(ends, system)}"
                ),
                result=run_text(total, system),
                source=BANDS,
            ),
        ),
        bound="Seams by net area over the sheet's width." if seams else "",
        places=places_of(extents),
    )


KIND = Kind(
    key="membrane",
    label="Membrane",
    sold_as="roll",
    unit="kg",
    unit_choice="form",
    units={"sheet": "m", "band": "m", "liquid": "kg"},
    parameters=(
        Parameter(
            name="form",
            label="Form",
            type="choice",
            choices=("sheet", "liquid", "band"),
        ),
        Parameter(
            name="roll_width", label="Width of the roll", type="length", required=False
        ),
        Parameter(name="lap", label="Lap", type="length", required=False),
        Parameter(
            name="thickness",
            label="Thickness",
            type="length",
            required=False,
            may_be_nothing=True,
        ),
        Parameter(
            name="per_coat",
            label="Mass of one coat",
            type="number",
            unit="kg/m2",
            required=False,
        ),
        Parameter(name="coats", label="Coats", type="count", required=False),
        Parameter(name="loss", label="Loss", type="rate", required=False),
        Parameter(
            name="vapour_resistant",
            label="Vapour resistant",
            type="yes_no",
            required=False,
        ),
    ),
    need=need,
    source=STRIPS,
)

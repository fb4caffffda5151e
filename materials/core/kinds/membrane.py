"""Waterproofing: sheet in strips with laps, liquid in coats, bands along corners."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from materials.core.kind import Kind, Lot, Parameter
from materials.core.lengths import MM, NOTHING, Length
from materials.core.need import Extent, MaterialFacts, Need, Point, Step
from materials.core.outlines import sides_of
from materials.core.plans.bands import Run, planned_bands
from materials.core.plans.pooling import joined
from materials.core.plans.racked import as_rolls, unrolled_steps
from materials.core.plans.runs import (
    corner_runs,
    fold_runs,
    guessed_seams,
    run_total,
    seam_runs_of,
)
from materials.core.plans.strips import Area, Rolls, RollSize, planned_strips
from materials.core.sources import Source
from materials.core.working import (
    area_step,
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
COATS = Source(title="product sheet: mass of one coat on 1 m²")
BANDS = Source(title="count: corners and seams, each run with a lap to the next")

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
    """Return how much membrane the extents of one layer take."""
    return pooled(material, [Lot(extents=tuple(extents), settings=settings)])


def pooled(material: MaterialFacts, lots: Sequence[Lot]) -> Need:
    """Return how much membrane all its layers take, by the form of the material.

    Units: m of roll for sheet and band, kg for liquid.
    """
    form = material.facts.get("form")
    if form == "liquid":
        return joined([_liquid(material, lot.extents, lot.settings) for lot in lots])
    if form == "band":
        return _band(material, lots)
    return _sheet(material, lots)


def _sheet(material: MaterialFacts, lots: Sequence[Lot]) -> Need:
    """Return metres of roll: strips of all extents, cut from whole rolls together.

    The rectangle round each extent grows by `turn_up` on each side that an edge of
    kind wall lies on; openings are not taken out. Without a roll's length and price,
    or for very many strips, the run of all strips stands in and says so.
    """
    system = system_of(lots[0].settings)
    roll = length_in(material.facts, "roll_width")
    lap = _lap(material, lots)
    demand(
        roll > lap,
        f"{material.name} is {roll.text(system)} wide and laps {lap.text(system)}: "
        "nothing is left to cover.",
        field="lap",
    )
    areas = [
        _area(extent, lot.settings, material) for lot in lots for extent in lot.extents
    ]
    extents = [extent for lot in lots for extent in lot.extents]
    ways = [strips_over(*_size(area), roll, lap) for area in areas]
    steps = [
        _strip_step(extent, strips, roll, lap, system)
        for extent, strips in zip(extents, ways, strict=True)
    ]
    plan = planned_strips(areas, _rolls(material, roll), lap=lap.ticks)
    metres = sum(
        (s.total * e.times for s, e in zip(ways, extents, strict=True)), start=NOTHING
    ).in_m
    if plan is not None:
        metres = Length(plan.unrolled).in_m
        steps += unrolled_steps(plan.plan, plan.unrolled, system)
    return Need(
        material=material.code,
        unit="m",
        quantity=metres,
        loss=max(Fraction(0), metres - total_area(extents).sq_m / roll.in_m),
        least_packs={} if plan is None else plan.rolls,
        working=(area_step(extents, system), *steps),
        bound=RECTANGLES if plan is None else OPENINGS,
        places=places_of(extents),
        plan=None if plan is None else plan.plan,
    )


def _size(area: Area) -> tuple[Length, Length]:
    left, bottom, right, top = area.whole
    return Length(right - left), Length(top - bottom)


RECTANGLES = (
    "Strips over the rectangle round each surface, openings not taken out; "
    "a strip may be joined where a roll ends."
)
OPENINGS = "Strips over the rectangle round each surface; openings are not taken out."


def _lap(material: MaterialFacts, lots: Sequence[Lot]) -> Length:
    """Return the widest lap that a layer asks for: rolls are cut for all of them."""
    return max(chosen_length("lap", lot.settings, material.facts, LAP) for lot in lots)


def _rolls(material: MaterialFacts, width: Length) -> Rolls:
    return Rolls(
        sizes=tuple(
            RollSize(
                key=pack.key,
                words=pack.label,
                length=Length.mm(pack.content * 1000).ticks,
                price=pack.price,
            )
            for pack in material.packs
            if pack.content > 0
        ),
        width=width.ticks,
        rack=as_rolls(material.rack, width),
    )


def _area(
    extent: Extent, settings: Mapping[str, object], material: MaterialFacts
) -> Area:
    across = [x for x, _ in extent.outline]
    upright = [y for _, y in extent.outline]
    turned = {
        side
        for line, edge in zip(sides_of(extent.outline), extent.edges, strict=False)
        if edge.kind == "wall"
        for side in _lies_on(line, extent.outline)
    }
    return Area(
        place=extent.place,
        left=min(across),
        bottom=min(upright),
        right=max(across),
        top=max(upright),
        turned_up=tuple(sorted(turned)),
        turn_up=chosen_length("turn_up", settings, material.facts).ticks,
        times=extent.times,
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


def _band(material: MaterialFacts, lots: Sequence[Lot]) -> Need:
    """Return the metres of band: changes of plane, and seams where they are asked.

    Every run laps the next by one lap. `along` "all" also bands the seams between
    boards: those of the boards' plan (`seams`, by place), or where there is none net
    area ÷ `sheet_width`, a bound (each panel's long side once). Folds of boards are
    banded always.
    """
    system = system_of(lots[0].settings)
    lap = _lap(material, lots)
    corners = [run for lot in lots for run in corner_runs(lot)]
    seams = [run for lot in lots for run in seam_runs_of(lot)]
    folds = [run for lot in lots for run in fold_runs(lot)]
    guessed = sum((guessed_seams(lot) for lot in lots), start=NOTHING)
    known = (*corners, *seams, *folds)
    runs = [Run(place=place, length=length + lap.ticks) for place, length in known]
    laps = lap * len(runs)
    runs += [Run(place="seams", length=guessed.ticks)] if guessed else []
    plan = planned_bands(
        runs,
        material.packs,
        lap=lap.ticks,
        ticks=Length.mm(1000).ticks,
        rack=material.rack,
    )
    total = Length(sum(run.length for run in runs))
    metres = total.in_m if plan is None else Length(plan.unrolled).in_m
    sums = {
        "changes of plane": run_total(corners),
        "seams": run_total(seams) + guessed,
        "folds": run_total(folds),
        "laps": laps,
    }
    steps = [_band_step(sums, total, system)]
    if plan is not None:
        steps += unrolled_steps(plan.plan, plan.unrolled, system)
    return Need(
        material=material.code,
        unit="m",
        quantity=metres,
        loss=max(Fraction(0), metres - total.in_m + laps.in_m),
        least_packs={} if plan is None else plan.rolls,
        working=tuple(steps),
        bound="Seams by net area over the sheet's width." if guessed else "",
        places=places_of([extent for lot in lots for extent in lot.extents]),
        plan=None if plan is None else plan.plan,
    )


def _band_step(sums: Mapping[str, Length], total: Length, system: str) -> Step:
    return Step(
        label="Bands",
        formula=", ".join(
            f"{word} {run_text(length, system)}"
            for word, length in sums.items()
            if length or word != "folds"
        ),
        result=run_text(total, system),
        source=BANDS,
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
    pool=pooled,
    source=STRIPS,
)

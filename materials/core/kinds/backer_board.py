"""Backer boards: panels split from each surface, cut from whole sheets.

Each extent is split into the fewest panels of one way of lying; the panels of all
extents are then cut together from whole sheets. Beside the plan stand two bounds: the
area bound below it, and above it one sheet a panel, nothing reused.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from materials.core.areas import Area
from materials.core.cutting.records import CutPlan, Piece, Rules, Stock
from materials.core.cutting.sheets import plan_sheets
from materials.core.kind import Kind, Parameter
from materials.core.lengths import Length
from materials.core.need import Extent, MaterialFacts, Need, Step
from materials.core.outlines import Piece as Part
from materials.core.outlines import within
from materials.core.quantities import whole_units
from materials.core.sources import Source
from materials.core.working import (
    area_step,
    bounds_of,
    chosen_length,
    figure,
    is_rectangle,
    length_in,
    places_of,
    system_of,
    total_area,
)

AREA_BOUND = Source(title="bound: net area over the area of a sheet, up")
NO_REUSE = Source(title="bound: one sheet for every panel, no offcut used again")
CUT_PLAN = Source(title="cut plan: straight cuts through whole sheets")

MOST_PANELS = 300
"""Beyond this the plan would keep a page waiting; the bound stands in for it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """A rectangle of board to be cut, so many times, and where it goes."""

    place: str
    width: Length
    height: Length
    count: int = 1


def panels_of(extent: Extent, sheet_width: Length, sheet_length: Length) -> list[Panel]:
    """Return the panels one extent is split into, with its repeats in the count.

    The sheet lies one way over the whole extent, from the lower left; each panel is
    the rectangle round what of the extent lies in its field. The way with fewer
    panels is taken, sheets upright where both are alike.
    """
    upright = _split(extent, sheet_width, sheet_length)
    lying = _split(extent, sheet_length, sheet_width)
    return min((upright, lying), key=len)


def _split(extent: Extent, across: Length, upright: Length) -> list[Panel]:
    whole = Part(outline=extent.outline, holes=extent.holes)
    left = min(x for x, _ in extent.outline)
    bottom = min(y for _, y in extent.outline)
    width, height = bounds_of(extent.outline)
    plain = is_rectangle(extent.outline) and not extent.holes
    panels: list[Panel] = []
    for x in range(0, width.ticks, across.ticks):
        for y in range(0, height.ticks, upright.ticks):
            if plain:
                sizes = [
                    (
                        min(across.ticks, width.ticks - x),
                        min(upright.ticks, height.ticks - y),
                    )
                ]
            else:
                sizes = _sizes_inside(
                    whole, left + x, bottom + y, across.ticks, upright.ticks
                )
            panels += [
                Panel(
                    place=extent.place,
                    width=Length(size[0]),
                    height=Length(size[1]),
                    count=extent.times,
                )
                for size in sizes
            ]
    return panels


def _sizes_inside(
    whole: Part, left: int, bottom: int, across: int, upright: int
) -> list[tuple[int, int]]:
    parts = within(
        (whole,), left=left, bottom=bottom, right=left + across, top=bottom + upright
    )
    sizes = []
    for part in parts:
        width, height = bounds_of(part.outline)
        sizes.append((width.ticks, height.ticks))
    return sizes


def need(
    material: MaterialFacts, extents: Sequence[Extent], settings: Mapping[str, object]
) -> Need:
    """Return how many sheets the extents take, cut together.

    Units: sheets. The layer may set `lap` (the gap between boards is ignored: the
    panels are cut to the full field, never short).
    Method: `plan_sheets` on the panels, up to 300 of them; above that the bound of
    one sheet a panel less what the area bound proves cannot be needed.
    """
    system = system_of(settings)
    sheet_width = length_in(material.facts, "width")
    sheet_length = length_in(material.facts, "length")
    panels = [
        panel
        for extent in extents
        for panel in panels_of(extent, sheet_width, sheet_length)
    ]
    number = sum(panel.count for panel in panels)
    sheet_area = sheet_width.by(sheet_length)
    plan: CutPlan | None = None
    count = number
    if 0 < number <= MOST_PANELS:
        plan = _plan(panels, sheet_width, sheet_length, settings, material)
        count = plan.bought
    return Need(
        material=material.code,
        unit="sheet",
        quantity=Fraction(count),
        loss=Fraction(count) - total_area(extents) / sheet_area,
        working=(
            area_step(extents, system),
            _panel_step(panels, system),
            *_bound_steps(total_area(extents), sheet_area, number, system),
            _plan_step(plan),
        ),
        bound=_bound(plan, count, number),
        places=places_of(extents),
        plan=plan,
    )


def _bound_steps(
    area: Area, sheet_area: Area, number: int, system: str
) -> tuple[Step, ...]:
    least = whole_units(area / sheet_area, Fraction(1))
    return (
        Step(
            label="At least",
            formula=f"{area.text(system)} ÷ {sheet_area.text(system)}",
            result=f"{least} sheets",
            source=AREA_BOUND,
        ),
        Step(
            label="At most",
            formula=f"{number} panels, none from an offcut",
            result=f"{number} sheets",
            source=NO_REUSE,
        ),
    )


def _plan(
    panels: Sequence[Panel],
    sheet_width: Length,
    sheet_length: Length,
    settings: Mapping[str, object],
    material: MaterialFacts,
) -> CutPlan:
    kerf = chosen_length("kerf", settings, material.facts)
    pieces = [
        Piece(
            name=f"{index + 1} {panel.place}",
            width=panel.width.ticks,
            height=panel.height.ticks,
            count=panel.count,
        )
        for index, panel in enumerate(panels)
    ]
    stock = Stock(
        name=material.code, width=sheet_width.ticks, height=sheet_length.ticks, price=1
    )
    return plan_sheets(pieces, [stock], Rules(kerf=kerf.ticks))


def _panel_step(panels: Sequence[Panel], system: str) -> Step:
    shown = [
        f"{panel.count} × {panel.width.text(system)} × {panel.height.text(system)}"
        for panel in panels[:12]
    ]
    more = f" and {len(panels) - 12} more" if len(panels) > 12 else ""
    return Step(
        label="Panels",
        formula=", ".join(shown) + more,
        result=figure(Fraction(sum(panel.count for panel in panels)), "panels"),
    )


def _plan_step(plan: CutPlan | None) -> Step:
    if plan is None:
        return Step(label="Cut plan", formula="too many panels to plan", result="none")
    return Step(
        label="Cut plan",
        formula=f"{sum(len(sheet.pieces) for sheet in plan.sheets)} panels",
        result=f"{plan.bought} sheets",
        source=CUT_PLAN,
    )


def _bound(plan: CutPlan | None, count: int, number: int) -> str:
    if plan is None:
        if not number:
            return ""
        return f"{count} sheets is one for every panel: more than will be needed."
    if plan.proven:
        return ""
    least = plan.lower_bound.sheets or plan.lower_bound.cost
    return f"{count} sheets is the best plan found; {least} is not ruled out."


KIND = Kind(
    key="backer_board",
    label="Backer board",
    sold_as="sheet",
    unit="sheet",
    parameters=(
        Parameter(name="width", label="Width", type="length"),
        Parameter(name="length", label="Length", type="length"),
        Parameter(name="thickness", label="Thickness", type="length"),
        Parameter(name="kerf", label="Saw cut", type="length", required=False),
        Parameter(
            name="core",
            label="Core",
            type="choice",
            choices=("cement", "foam", "gypsum", "other"),
            default="cement",
        ),
        Parameter(
            name="waterproof_face",
            label="Waterproof when seams are sealed",
            type="yes_no",
            default="no",
        ),
        Parameter(
            name="mass", label="Mass", type="number", unit="kg/m2", required=False
        ),
    ),
    need=need,
    source=CUT_PLAN,
)

"""Backer boards: panels split from each surface, cut from whole sheets.

Where the seams run is chosen together with the cutting, all surfaces in view; where
that cannot be, panels run from the lower left. Beside the plan stand two bounds: the
area bound below it, and above it one sheet a panel, nothing reused.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from materials.core.areas import Area
from materials.core.kind import Kind, Lot, Parameter
from materials.core.lengths import NOTHING, Length
from materials.core.need import Extent, MaterialFacts, Need, Step
from materials.core.plans.board_panels import field_of, panels_of
from materials.core.plans.board_records import digest_of, problem_of
from materials.core.plans.board_sheets import Sheet
from materials.core.plans.boards import planned_boards
from materials.core.plans.racked import rack_steps
from materials.core.plans.records import MaterialPlan
from materials.core.quantities import whole_units
from materials.core.sources import Source
from materials.core.working import (
    area_step,
    chosen_length,
    count_text,
    length_in,
    places_of,
    run_text,
    system_of,
    total_area,
)

AREA_BOUND = Source(title="bound: net area over the area of a sheet, up")
WAY_IN = Source.shop_practice("a sheet must pass the way in and turn in the space")
NO_REUSE = Source(title="bound: one sheet for every panel, no offcut used again")
CUT_PLAN = Source(title="cut plan: straight cuts through whole sheets")


def need(
    material: MaterialFacts, extents: Sequence[Extent], settings: Mapping[str, object]
) -> Need:
    """Return how many sheets one layer's extents take."""
    return pooled(material, [Lot(extents=tuple(extents), settings=settings)])


def pooled(material: MaterialFacts, lots: Sequence[Lot]) -> Need:
    """Return how many sheets all layers take, seams and cutting chosen together.

    What layers may differ in (thickness, loss) does not change how a sheet is cut.

    Units: sheets. Panels are cut to the full field: a gap between boards is not taken
    off, so none is short.
    Method: a plan that the material brings for this very problem; else `plan_walls`
    for up to 40 surfaces, else `plan_sheets` on panels from the lower left, up to 300
    of them; above that one sheet a panel, and it says so.
    """
    settings, extents = lots[0].settings, _extents(lots)
    system = system_of(settings)
    sheet = _sheet(material, settings, system)
    number = sum(
        panel.count for extent in extents for panel in panels_of(extent, *sheet.panel)
    )
    sheet_area = sheet.width.by(sheet.length)
    least = whole_units(total_area(extents) / sheet_area, Fraction(1))
    fields = tuple(map(field_of, extents))
    kept = material.plans.get(digest_of(problem_of(fields, sheet)), "")
    plan = planned_boards(fields, sheet, kept)
    count = number if plan is None else plan.new
    return Need(
        material=material.code,
        unit="sheet",
        quantity=Fraction(count),
        loss=max(Fraction(0), Fraction(count) - total_area(extents) / sheet_area),
        working=(
            area_step(extents, system),
            *_bound_steps(total_area(extents), sheet_area, number, system),
            *_access_steps(sheet, system),
            *_plan_steps(plan, system),
        ),
        bound=_bound(plan, count, least),
        places=places_of(extents),
        plan=plan,
    )


def board_problem(material: MaterialFacts, lots: Sequence[Lot]) -> str:
    """Return the cutting problem that these layers are, as text."""
    settings = lots[0].settings
    sheet = _sheet(material, settings, system_of(settings))
    return problem_of(tuple(map(field_of, _extents(lots))), sheet)


def _extents(lots: Sequence[Lot]) -> list[Extent]:
    return [extent for lot in lots for extent in lot.extents]


def _sheet(
    material: MaterialFacts, settings: Mapping[str, object], system: str
) -> Sheet:
    """Return the sheet, with what of it comes in where the way in was measured."""
    width = length_in(material.facts, "width")
    length = length_in(material.facts, "length")
    passes = length_in(settings, "passes")
    return Sheet(
        code=material.code,
        words=f"{width.text(system)} × {length.text(system)}",
        width=width,
        length=length,
        kerf=chosen_length("kerf", settings, material.facts),
        passes=passes if passes < min(width, length) else NOTHING,
        folds=is_folded(material.facts),
        rack=material.rack,
    )


def is_folded(facts: Mapping[str, object]) -> bool:
    """Return whether a board that does not come in is folded rather than split."""
    return facts.get("waterproof_face") is True


def _access_steps(sheet: Sheet, system: str) -> tuple[Step, ...]:
    if not sheet.passes:
        return ()
    said = (
        "score the back and fold, the waterproof face stays whole"
        if sheet.folds
        else "no panel is wider"
    )
    return (
        Step(
            label="Way in",
            formula=f"a panel passes up to {sheet.passes.text(system)} wide",
            result=said,
            source=WAY_IN,
        ),
    )


def _bound_steps(
    area: Area, sheet_area: Area, number: int, system: str
) -> tuple[Step, ...]:
    least = whole_units(area / sheet_area, Fraction(1))
    return (
        Step(
            label="At least",
            formula=f"{area.text(system)} ÷ {sheet_area.text(system)}",
            result=count_text(least, "sheet"),
            source=AREA_BOUND,
        ),
        Step(
            label="At most",
            formula=f"{count_text(number, 'panel')}, none from an offcut",
            result=count_text(number, "sheet"),
            source=NO_REUSE,
        ),
    )


def _plan_steps(plan: MaterialPlan | None, system: str) -> tuple[Step, ...]:
    if plan is None:
        return (
            Step(label="Cut plan", formula="too many panels to plan", result="none"),
        )
    sizes: dict[str, int] = {}
    for sheet in plan.cut.sheets:
        for piece in sheet.pieces:
            width, height = Length(piece.width), Length(piece.height)
            short, long = sorted((width, height))
            words = f"{short.text(system)} × {long.text(system)}"
            sizes[words] = sizes.get(words, 0) + 1
    shown = [f"{count} of {words}" for words, count in list(sizes.items())[:12]]
    more = f" and {len(sizes) - 12} more sizes" if len(sizes) > 12 else ""
    steps = [
        Step(
            label="Cut plan",
            formula=", ".join(shown) + more,
            result=plan.verdict,
            source=CUT_PLAN,
        )
    ]
    steps += rack_steps(plan)
    for label, runs in (("Seams", plan.seams), ("Folds", plan.folds)):
        length = Length(sum(map(sum, runs.values())))
        if length:
            steps.append(Step(label=label, result=run_text(length, system)))
    return tuple(steps)


def _bound(plan: MaterialPlan | None, count: int, least: int) -> str:
    """Return in a sentence how far the count may be above the least there is."""
    if count == least and (plan is None or not plan.taken):
        return ""
    if plan is None:
        return f"{count} sheets is one for every panel: more than will be needed."
    return plan.verdict


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
            name="fold_band",
            label="A fold is banded",
            type="yes_no",
            default="yes",
        ),
        Parameter(
            name="mass", label="Mass", type="number", unit="kg/m2", required=False
        ),
    ),
    need=need,
    pool=pooled,
    source=CUT_PLAN,
)

"""Backer boards: panels split from each surface, cut from whole sheets.

Where the seams run is chosen together with the cutting, all surfaces in view; where
that cannot be, panels run from the lower left. Beside the plan stand two bounds: the
area bound below it, and above it one sheet a panel, nothing reused.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from materials.core.areas import Area
from materials.core.cutting.panels import plan_walls
from materials.core.cutting.records import (
    Budget,
    CutPlan,
    DoesNotFit,
    Piece,
    Rules,
    Stock,
)
from materials.core.cutting.seams import SeamRules, Wall
from materials.core.cutting.sheets import plan_sheets
from materials.core.kind import Kind, Parameter
from materials.core.lengths import Length
from materials.core.need import Extent, MaterialFacts, Need, Step
from materials.core.outlines import Piece as Part
from materials.core.outlines import Ring, within
from materials.core.quantities import whole_units
from materials.core.sources import Source
from materials.core.working import (
    area_step,
    bounds_of,
    chosen_length,
    count_text,
    is_rectangle,
    length_in,
    places_of,
    run_text,
    system_of,
    total_area,
)

AREA_BOUND = Source(title="bound: net area over the area of a sheet, up")
NO_REUSE = Source(title="bound: one sheet for every panel, no offcut used again")
CUT_PLAN = Source(title="cut plan: straight cuts through whole sheets")

NARROWEST = Length.inch(6, exact=True)
"""Common practice: no panel is made narrower, it would break and take no screw."""

SEAM_WORK = 300_000
"""How long to look for better seams: a few tenths of a second for a shower."""

MOST_WALLS = 40
MOST_PANELS = 300
"""Beyond this the plan would keep a page waiting; the bound stands in for it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """A rectangle of board to be cut, so many times, and where it goes."""

    place: str
    width: Length
    height: Length
    count: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """What boards must know of an extent, and nothing else: plans are kept by it."""

    place: str
    outline: Ring
    holes: tuple[Ring, ...] = ()
    times: int = 1


def _field_of(extent: Extent) -> Field:
    return Field(
        place=extent.place,
        outline=extent.outline,
        holes=extent.holes,
        times=extent.times,
    )


def panels_of(
    extent: Extent | Field, sheet_width: Length, sheet_length: Length
) -> list[Panel]:
    """Return the panels one extent is split into, with its repeats in the count.

    The sheet lies one way over the whole extent, from the lower left; each panel is
    the rectangle round what of the extent lies in its field. The way with fewer
    panels is taken, sheets upright where both are alike.
    """
    upright = _split(extent, sheet_width, sheet_length)
    lying = _split(extent, sheet_length, sheet_width)
    return min((upright, lying), key=len)


def _split(extent: Extent | Field, across: Length, upright: Length) -> list[Panel]:
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
    """Return how many sheets the extents take, seams and cutting chosen together.

    Units: sheets. Panels are cut to the full field: a gap between boards is not taken
    off, so none is short.
    Method: `plan_walls` for up to 40 surfaces, else `plan_sheets` on panels from the
    lower left, up to 300 of them; above that one sheet a panel, and it says so.
    """
    system = system_of(settings)
    sheet = _Sheet(
        code=material.code,
        width=length_in(material.facts, "width"),
        length=length_in(material.facts, "length"),
        kerf=chosen_length("kerf", settings, material.facts),
    )
    number = sum(
        panel.count
        for extent in extents
        for panel in panels_of(extent, sheet.width, sheet.length)
    )
    sheet_area = sheet.width.by(sheet.length)
    fields = tuple(map(_field_of, extents))
    least = whole_units(total_area(extents) / sheet_area, Fraction(1))
    plan = _best_plan(fields, sheet, least)
    count = number if plan is None else plan.cut.bought
    return Need(
        material=material.code,
        unit="sheet",
        quantity=Fraction(count),
        loss=Fraction(count) - total_area(extents) / sheet_area,
        working=(
            area_step(extents, system),
            *_bound_steps(total_area(extents), sheet_area, number, system),
            *_plan_steps(plan, system),
        ),
        bound=_bound(plan, count, least),
        places=places_of(extents),
        plan=None if plan is None else plan.cut,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sheet:
    """The sheet the panels are cut from."""

    code: str
    width: Length
    length: Length
    kerf: Length

    @property
    def stock(self) -> Stock:
        return Stock(
            name=self.code, width=self.width.ticks, height=self.length.ticks, price=1
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Plan:
    """How the sheets are cut, and the seams between panels where they are known."""

    cut: CutPlan
    seams: Length | None = None


@lru_cache(maxsize=128)
def _best_plan(fields: tuple[Field, ...], sheet: _Sheet, least: int) -> _Plan | None:
    """Return the plan with fewer sheets: seams chosen with the cutting, or fixed."""
    panels = [
        panel
        for field in fields
        for panel in panels_of(field, sheet.width, sheet.length)
    ]
    if not 0 < sum(panel.count for panel in panels) <= MOST_PANELS:
        return None
    fixed = _Plan(
        cut=plan_sheets(_pieces(panels), [sheet.stock], Rules(kerf=sheet.kerf.ticks))
    )
    if fixed.cut.bought <= least:
        return fixed
    chosen = _chosen_seams(fields, sheet)
    if chosen is None or chosen.cut.bought > fixed.cut.bought:
        return fixed
    return chosen


def _chosen_seams(fields: Sequence[Field], sheet: _Sheet) -> _Plan | None:
    """Return a plan whose seams keep clear of openings, or None where none can."""
    if sum(field.times for field in fields) > MOST_WALLS:
        return None
    walls: list[Wall] = []
    parts: list[Panel] = []
    for place, field in enumerate(fields):
        if _is_wall(field, sheet):
            walls += _walls(field, f"{place + 1} {field.place}")
        else:
            parts += panels_of(field, sheet.width, sheet.length)
    if not walls:
        return None
    try:
        found = plan_walls(
            walls,
            _pieces(parts),
            [sheet.stock],
            Rules(kerf=sheet.kerf.ticks),
            seam_rules=SeamRules(least=NARROWEST.ticks),
            budget=Budget(work=SEAM_WORK),
        )
    except DoesNotFit:
        return None
    return _Plan(cut=found.plan, seams=Length(found.seams) if not parts else None)


def _is_wall(extent: Field, sheet: _Sheet) -> bool:
    """Return whether seams can be chosen: a rectangle, its openings small."""
    if not is_rectangle(extent.outline):
        return False
    short = min(sheet.width, sheet.length)
    return all(max(bounds_of(hole)) < short for hole in extent.holes)


def _walls(extent: Field, name: str) -> list[Wall]:
    width, height = bounds_of(extent.outline)
    left = min(x for x, _ in extent.outline)
    bottom = min(y for _, y in extent.outline)
    whole = tuple(
        (
            min(x for x, _ in hole) - left,
            min(y for _, y in hole) - bottom,
            *(size.ticks for size in bounds_of(hole)),
        )
        for hole in extent.holes
    )
    return [
        Wall(
            name=f"{name}, {number + 1}" if extent.times > 1 else name,
            width=width.ticks,
            height=height.ticks,
            whole=whole,  # type: ignore[arg-type]
        )
        for number in range(extent.times)
    ]


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


def _pieces(panels: Sequence[Panel]) -> list[Piece]:
    return [
        Piece(
            name=f"Part {index + 1}, {panel.place}",
            width=panel.width.ticks,
            height=panel.height.ticks,
            count=panel.count,
        )
        for index, panel in enumerate(panels)
    ]


def _plan_steps(plan: _Plan | None, system: str) -> tuple[Step, ...]:
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
            result=count_text(plan.cut.bought, "sheet"),
            source=CUT_PLAN,
        )
    ]
    if plan.seams:
        steps.append(Step(label="Seams", result=run_text(plan.seams, system)))
    return tuple(steps)


def _bound(plan: _Plan | None, count: int, least: int) -> str:
    """Return in a sentence how far the count may be above the least there is."""
    if count == least:
        return ""
    if plan is None:
        return f"{count} sheets is one for every panel: more than will be needed."
    if plan.cut.proven:
        return "Proven for these panels; other seams might take fewer sheets."
    possible = plan.cut.lower_bound.sheets or plan.cut.lower_bound.cost
    return f"{count} sheets is the best plan found; {possible} is not ruled out."


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

"""Boards: seams and cutting chosen together, all surfaces of a job in view.

Where that cannot be, panels run from the lower left. A board that does not come in
whole is split to what does, or scored and folded where its face stays whole.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from materials.core.cutting.panels import Panel as WallPanel
from materials.core.cutting.panels import plan_walls
from materials.core.cutting.records import Budget, CutPlan, DoesNotFit, Rules
from materials.core.cutting.seams import Wall
from materials.core.cutting.sheets import plan_sheets
from materials.core.outlines import Piece as Part
from materials.core.outlines import rectangle
from materials.core.plans.board_panels import (
    Field,
    Panel,
    cut_pieces,
    has_free_seams,
    panels_of,
    walls_of,
)
from materials.core.plans.board_records import (
    cut_kept,
    panels_kept,
    problem_of,
    written,
)
from materials.core.plans.board_sheets import Sheet
from materials.core.plans.racked import (
    NEW_PRICE,
    kept_sizes,
    kept_verdict,
    unused_verdict,
)
from materials.core.plans.records import (
    SHEET,
    LaidPiece,
    LaidSurface,
    Line,
    MaterialPlan,
    StockSize,
)
from materials.core.plans.seams import Box, fold_lines, seam_runs
from materials.core.plans.words import verdict

INTERACTIVE = Budget(work=25_000, seams=130_000)
"""While a page waits: 150 ms of processor time at most, for eight walls."""

DEEPER = Budget(work=1_500_000, rounds=60, nodes=200, blocks=1_000_000, seams=2_000_000)
"""In the background: some seconds."""

MOST_WALLS = 40
MOST_PANELS = 300
"""Beyond this the plan would keep a page waiting; the bound stands in for it."""


@lru_cache(maxsize=256)
def planned_boards(
    fields: tuple[Field, ...], sheet: Sheet, kept: str = ""
) -> MaterialPlan | None:
    """Return the plan with fewer sheets: seams chosen with the cutting, or fixed.

    `kept` is the record of a plan found before for this very problem, which stands.
    None for more panels than a page can wait for.
    """
    return board_plan(fields, sheet, INTERACTIVE, kept=kept)


def board_plan(
    fields: Sequence[Field], sheet: Sheet, budget: Budget, *, kept: str = ""
) -> MaterialPlan | None:
    """Return the plan for a budget: equal input and budget give equal plans."""
    panels = [panels_of(field, *sheet.panel) for field in fields]
    pieces = cut_pieces(_flat(panels))
    if not 0 < sum(piece.count for piece in pieces) <= MOST_PANELS:
        return None
    if kept:
        found = _kept(kept, fields, panels, sheet)
    else:
        found = _searched(fields, panels, sheet, budget)
    least = _area_sheets(fields, sheet)
    plan = _plan(found[0], found[1], sheet=sheet, least=least)
    problem = problem_of(fields, sheet)
    return replace(
        plan,
        problem=problem,
        record=kept or written(plan.cut, plan.numbers, found[2], sheet),
        was_searched=bool(kept),
        is_open=not kept and _may_be_cheaper(plan, sheet, least),
    )


_Found = tuple[CutPlan, list["_Laid"], Sequence[WallPanel] | None]
"""The cutting, where everything lies, and the panels of walls whose seams are free."""


def _searched(
    fields: Sequence[Field],
    panels: Sequence[Sequence[Panel]],
    sheet: Sheet,
    budget: Budget,
) -> _Found:
    pieces = cut_pieces(_flat(panels))
    rules = Rules(kerf=sheet.kerf.ticks)
    fixed = plan_sheets(pieces, sheet.stock, rules, budget=budget)
    if fixed.cost > _area_sheets(fields, sheet) * NEW_PRICE or sheet.rack:
        chosen = _chosen_seams(fields, sheet, budget)
        if chosen is not None and chosen[0].cost <= fixed.cost:
            return chosen
    return fixed, _parts_laid(fields, panels), None


def _kept(
    record: str,
    fields: Sequence[Field],
    panels: Sequence[Sequence[Panel]],
    sheet: Sheet,
) -> _Found:
    """Return a plan found before, its names those of the surfaces as they stand."""
    walls, others = _walls_and_others(fields, sheet)
    found = panels_kept(record, [wall.name for _, wall in walls])
    if found is None:
        laid = _parts_laid(fields, panels)
    else:
        laid = [_wall_laid(field, wall, found) for field, wall in walls]
        parts = [panels_of(field, *sheet.panel) for field in others]
        laid += _parts_laid(others, parts)
    names = list(dict.fromkeys(name for one in laid for name, _ in one.boxes))
    return cut_kept(record, names, sheet), laid, found


def _may_be_cheaper(plan: MaterialPlan, sheet: Sheet, least: int) -> bool:
    """Return whether more searching could save money: by area, or by the bound."""
    if sheet.rack:
        return not plan.cut.proven
    return plan.cut.cost > least * NEW_PRICE


def _area_sheets(fields: Sequence[Field], sheet: Sheet) -> int:
    area = sum(_field_area(field) * field.times for field in fields)
    return -(-area // sheet.width.by(sheet.length).ticks2)


def _field_area(field: Field) -> int:
    return Part(outline=field.outline, holes=field.holes).area.ticks2


@dataclass(frozen=True, slots=True, kw_only=True)
class _Laid:
    """A surface, how often it stands so, and its panels by the names of pieces."""

    field: Field
    place: str
    boxes: tuple[tuple[str, Box], ...]
    times: int = 1


def _walls_and_others(
    fields: Sequence[Field], sheet: Sheet
) -> tuple[list[tuple[Field, Wall]], list[Field]]:
    """Return the walls whose seams can be chosen, one by one, and all other fields."""
    walls: list[tuple[Field, Wall]] = []
    others: list[Field] = []
    for place, field in enumerate(fields):
        if has_free_seams(field, min(sheet.panel)):
            named = walls_of(field, f"{place + 1} {field.place}")
            walls += [(field, wall) for wall in named]
        else:
            others.append(field)
    return walls, others


def _chosen_seams(
    fields: Sequence[Field], sheet: Sheet, budget: Budget
) -> _Found | None:
    """Return a plan whose seams keep clear of openings, or None where none can."""
    if sum(field.times for field in fields) > MOST_WALLS:
        return None
    walls, others = _walls_and_others(fields, sheet)
    if not walls:
        return None
    parts = [panels_of(field, *sheet.panel) for field in others]
    try:
        found = plan_walls(
            [wall for _, wall in walls],
            cut_pieces(_flat(parts)),
            sheet.stock,
            Rules(kerf=sheet.kerf.ticks),
            seam_rules=sheet.rules,
            budget=budget,
        )
    except DoesNotFit:
        return None
    laid = [_wall_laid(field, wall, found.panels) for field, wall in walls]
    return found.plan, [*laid, *_parts_laid(others, parts)], found.panels


def _wall_laid(field: Field, wall: Wall, panels: Sequence[WallPanel]) -> _Laid:
    left = min(x for x, _ in field.outline)
    bottom = min(y for _, y in field.outline)
    number = wall.name.rpartition(", ")[2] if field.times > 1 else ""
    return _Laid(
        field=field,
        place=f"{field.place}, {number}" if number else field.place,
        boxes=tuple(
            (panel.name, (left + panel.x, bottom + panel.y, panel.width, panel.height))
            for panel in panels
            if panel.wall == wall.name
        ),
    )


def _parts_laid(
    fields: Sequence[Field], panels: Sequence[Sequence[Panel]]
) -> list[_Laid]:
    """Return the panels of each field, named as `cut_pieces` names them all."""
    names = iter(piece.name for piece in cut_pieces(_flat(panels)))
    return [
        _Laid(
            field=field,
            place=field.place,
            boxes=tuple(
                (
                    next(names),
                    (
                        panel.left,
                        panel.bottom,
                        panel.width.ticks,
                        panel.height.ticks,
                    ),
                )
                for panel in own
            ),
            times=field.times,
        )
        for field, own in zip(fields, panels, strict=True)
    ]


def _flat(panels: Sequence[Sequence[Panel]]) -> list[Panel]:
    return [panel for own in panels for panel in own]


def _plan(
    cut: CutPlan, laid: Sequence[_Laid], *, sheet: Sheet, least: int
) -> MaterialPlan:
    names = dict.fromkeys(name for one in laid for name, _ in one.boxes)
    numbers = {name: number for number, name in enumerate(names, start=1)}
    seams: dict[str, tuple[int, ...]] = {}
    for one in laid:
        runs = seam_runs([box for _, box in one.boxes]) * one.times
        before = seams.get(one.field.place, ())
        seams[one.field.place] = (*before, *runs)
    return MaterialPlan(
        form=SHEET,
        sizes=(
            StockSize(
                name=sheet.code,
                words=sheet.words,
                width=sheet.width.ticks,
                height=sheet.length.ticks,
            ),
            *kept_sizes(sheet.rack, cut),
        ),
        cut=cut,
        numbers=numbers,
        places={name: one.place for one in laid for name, _ in one.boxes},
        surfaces=tuple(_surface(one, numbers, sheet) for one in laid),
        seams=seams,
        folds=_fold_lengths(laid, sheet),
        kerf=sheet.kerf.ticks,
        verdict=_verdict(cut, sheet, least),
    )


def _verdict(cut: CutPlan, sheet: Sheet, least: int) -> str:
    new = sum(1 for one in cut.sheets if one.stock == sheet.code)
    if new < cut.used:
        return kept_verdict(cut, "sheet", new=new)
    if sheet.rack:
        return unused_verdict(cut, "sheet")
    proven = cut.lower_bound.sheets or 0
    return verdict(new, proven, "sheet", freely=min(least, new))


def _folds(box: Box, sheet: Sheet) -> list[Line]:
    if not (sheet.passes and sheet.folds):
        return []
    return fold_lines(box, sheet.passes.ticks)


def _fold_lengths(laid: Sequence[_Laid], sheet: Sheet) -> dict[str, tuple[int, ...]]:
    folds: dict[str, tuple[int, ...]] = {}
    for one in laid:
        lengths = [
            max(box[2:]) for _, box in one.boxes for _ in _folds(box, sheet)
        ] * one.times
        if lengths:
            before = folds.get(one.field.place, ())
            folds[one.field.place] = (*before, *lengths)
    return folds


def _surface(one: _Laid, numbers: dict[str, int], sheet: Sheet) -> LaidSurface:
    return LaidSurface(
        place=one.place if one.times == 1 else f"{one.place} × {one.times}",
        outline=one.field.outline,
        holes=one.field.holes,
        pieces=tuple(
            LaidPiece(number=numbers[name], outline=_ring(box))
            for name, box in one.boxes
        ),
        folds=tuple(line for _, box in one.boxes for line in _folds(box, sheet)),
    )


def _ring(box: Box) -> tuple[tuple[int, int], ...]:
    x, y, wide, high = box
    return rectangle(x, y, x + wide, y + high)

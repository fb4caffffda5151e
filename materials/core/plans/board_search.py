"""The deeper search for a board plan, and whether what it found is kept."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from materials.core.cutting.checker import faults
from materials.core.cutting.cut_file import CutJob, answer, money_text
from materials.core.cutting.records import CutPlan, Piece, Rules
from materials.core.outlines import Piece as Part
from materials.core.outlines import Ring, within
from materials.core.plans.board_panels import Field
from materials.core.plans.board_records import read_problem
from materials.core.plans.board_sheets import Sheet
from materials.core.plans.boards import DEEPER, board_plan, planned_boards
from materials.core.plans.records import MaterialPlan
from materials.core.working import bounds_of


def searched(problem: str) -> tuple[str, int, int]:
    """Return the record of the plan to keep, and what was bought before and is now.

    Units: new sheets. Equal problems give equal records. The deeper plan is kept where
    it is cheaper, or as cheap with shorter seams or a better proof, and the independent
    checker has nothing to say against it; else the first plan stays.
    """
    fields, sheet = read_problem(problem)
    first = planned_boards(fields, sheet)
    if first is None:
        return "", 0, 0
    deeper = board_plan(fields, sheet, DEEPER)
    if deeper is None or _worth(deeper) >= _worth(first):
        return first.record, first.new, first.new
    if plan_faults(deeper, fields, sheet):
        return first.record, first.new, first.new
    return deeper.record, first.new, deeper.new


def _worth(plan: MaterialPlan) -> tuple[int, int, int]:
    seams = sum(map(sum, plan.seams.values()))
    return plan.cut.cost, seams, -plan.cut.lower_bound.cost


def plan_faults(
    plan: MaterialPlan, fields: tuple[Field, ...], sheet: Sheet
) -> list[str]:
    """Return what is wrong with a board plan: its cutting by the checker, its cover.

    Units: whole ticks stand where a file has its unit.
    """
    pieces = _pieces(plan, fields)
    asked = _asked(pieces, sheet)
    job = CutJob(
        unit="mm",
        scale=1,
        pieces=tuple(pieces),
        stock=tuple(sheet.stock),
        rules=Rules(kerf=sheet.kerf.ticks),
        seed=0,
        is_length=False,
    )
    found = faults(asked, answer(job, _named_by_number(plan)))
    return found + _uncovered(plan, fields)


def _pieces(plan: MaterialPlan, fields: tuple[Field, ...]) -> list[Piece]:
    """Return what is asked for, by what lies on the surfaces and not by the cutting."""
    counts = {field.place: field.times for field in fields}
    pieces = {}
    for surface in plan.surfaces:
        count = counts.get(surface.place.partition(" ×")[0], 1)
        for laid in surface.pieces:
            width, height = bounds_of(laid.outline)
            pieces[laid.number] = Piece(
                name=f"{laid.number}",
                width=width.ticks,
                height=height.ticks,
                count=count,
            )
    return list(pieces.values())


def _asked(pieces: list[Piece], sheet: Sheet) -> dict[str, Any]:
    """Return the job as the checker reads it."""
    return {
        "unit": "mm",
        "kerf": f"{sheet.kerf.ticks}",
        "stock": [
            {
                "name": row.name,
                "width": f"{row.width}",
                "height": f"{row.height}",
                "price": money_text(row.price),
                "count": row.count,
            }
            for row in sheet.stock
        ],
        "pieces": [
            {
                "name": row.name,
                "width": f"{row.width}",
                "height": f"{row.height}",
                "count": row.count,
            }
            for row in pieces
        ],
    }


def _named_by_number(plan: MaterialPlan) -> CutPlan:
    names = {name: f"{number}" for name, number in plan.numbers.items()}
    proof = plan.cut.certificate
    return replace(
        plan.cut,
        sheets=tuple(
            replace(
                one,
                pieces=tuple(replace(row, name=names[row.name]) for row in one.pieces),
            )
            for one in plan.cut.sheets
        ),
        certificate=replace(
            proof, prices=tuple((names[name], price) for name, price in proof.prices)
        ),
    )


def _uncovered(plan: MaterialPlan, fields: tuple[Field, ...]) -> list[str]:
    """Return surfaces that the panels do not cover, or cover twice."""
    wanted = sum(field.times for field in fields)
    stood = sum(_times(surface.place) for surface in plan.surfaces)
    found = [] if wanted == stood else [f"{stood} of {wanted} surfaces are boarded."]
    for surface in plan.surfaces:
        whole = Part(outline=surface.outline, holes=surface.holes)
        boxes = [_corners(piece.outline) for piece in surface.pieces]
        covered = sum(
            part.area.ticks2 for box in boxes for part in within((whole,), **box)
        )
        if covered != whole.area.ticks2:
            found.append(f"Surface {surface.place} is not covered just once.")
    return found


def _times(place: str) -> int:
    return int(place.partition(" × ")[2] or 1)


def _corners(ring: Ring) -> dict[str, int]:
    across, up = [x for x, _ in ring], [y for _, y in ring]
    return {
        "left": min(across),
        "bottom": min(up),
        "right": max(across),
        "top": max(up),
    }

"""Seams chosen with the cutting never cost more than boards from the corner."""

from __future__ import annotations

import pytest

from bench.cutting_jobs import SHEET, wall_job
from materials.core.cutting.panels import WallPlan, plan_walls
from materials.core.cutting.records import Budget, DoesNotFit, Piece, Rules, Stock
from materials.core.cutting.seams import SeamRules, Wall, naive_layout

BOARDS = [Stock(name="board", width=SHEET[0], height=SHEET[1], price=100)]


@pytest.mark.parametrize("number", range(4))
def test_joint_seams_lie_between_the_area_and_the_naive_plan(number: int) -> None:
    sizes, extra = wall_job(7, number)
    walls = [Wall(name=f"w{n}", width=a, height=b) for n, (a, b) in enumerate(sizes)]
    parts = [Piece(name=f"p{n}", width=a, height=b) for n, (a, b) in enumerate(extra)]

    found = plan_walls(walls, parts, BOARDS, Rules(), seam_rules=SeamRules())

    assert found.area_sheets <= found.plan.used <= found.naive_used
    cut = sorted(piece.name for sheet in found.plan.sheets for piece in sheet.pieces)
    assert cut == sorted([*[p.name for p in found.panels], *[p.name for p in parts]])


def test_rules_that_leave_no_way_are_refused() -> None:
    wall = Wall(name="w", width=50, height=50)

    with pytest.raises(DoesNotFit, match="“w”"):
        plan_walls(
            [wall],
            [],
            [Stock(name="s", width=20, height=20)],
            Rules(),
            seam_rules=SeamRules(least=19),
        )


def walls_of_job(number: int) -> list[Wall]:
    sizes, _extra = wall_job(11, number)
    return [Wall(name=f"w{n}", width=a, height=b) for n, (a, b) in enumerate(sizes)]


def planned(number: int, seams: int) -> WallPlan:
    return plan_walls(
        walls_of_job(number),
        [],
        BOARDS,
        Rules(),
        seam_rules=SeamRules(),
        budget=Budget(work=20_000, seams=seams),
    )


def test_more_work_for_seams_finds_fewer_boards() -> None:
    little = [planned(number, 1).plan.used for number in range(8)]
    more = [planned(number, 150_000).plan.used for number in range(8)]

    assert sum(more) < sum(little)


def test_equal_work_gives_equal_seams() -> None:
    assert planned(3, 80_000) == planned(3, 80_000)


def test_without_work_the_boards_run_from_the_corner() -> None:
    walls = walls_of_job(2)
    found = planned(2, 0)

    sheet = min(SHEET), max(SHEET)
    corner = [box for wall in walls for box in naive_layout(wall, sheet)]
    assert [(one.x, one.y, one.width, one.height) for one in found.panels] == corner

"""The deeper search: cheaper where it can be, sound, and the same every time."""

from __future__ import annotations

from dataclasses import replace

import pytest

from materials.core.lengths import Length
from materials.core.plans import board_search
from materials.core.plans.board_records import read_problem
from materials.core.plans.board_search import plan_faults, searched
from materials.core.plans.board_sheets import Sheet
from materials.core.plans.boards import planned_boards
from materials.core.plans.records import MaterialPlan
from tests.unit.materials.core.plans.test_board_panels import a_field

mm = Length.mm
SHEET = Sheet(code="BB", words="", width=mm(900), length=mm(1500))
WALLS = tuple(
    a_field(0, 0, width, height)
    for width, height in (
        (1310, 2365), (961, 2365), (2500, 2700), (1785, 1630), (2210, 1540)
    )
)  # fmt: skip


@pytest.fixture(scope="module")
def first() -> MaterialPlan:
    plan = planned_boards(WALLS, SHEET)
    assert plan is not None
    assert plan.is_open
    return plan


@pytest.fixture(scope="module")
def result(first: MaterialPlan) -> tuple[str, int, int]:
    return searched(first.problem)


def test_the_deeper_plan_takes_fewer_sheets_here(
    first: MaterialPlan, result: tuple[str, int, int]
) -> None:
    record, before, after = result
    plan = planned_boards(WALLS, SHEET, record)

    assert plan is not None
    assert before == first.new
    assert after == plan.new < before
    assert plan.was_searched
    assert not plan.is_open


def test_equal_problems_give_equal_records(
    first: MaterialPlan, result: tuple[str, int, int]
) -> None:
    assert searched(first.problem) == result


def test_the_checker_accepts_what_is_kept(
    first: MaterialPlan, result: tuple[str, int, int]
) -> None:
    fields, sheet = read_problem(first.problem)
    plan = planned_boards(fields, sheet, result[0])

    assert plan is not None
    assert plan_faults(plan, fields, sheet) == []


def test_the_checker_sees_a_panel_that_is_missing_or_moved(
    first: MaterialPlan, result: tuple[str, int, int]
) -> None:
    fields, sheet = read_problem(first.problem)
    plan = planned_boards(fields, sheet, result[0])
    assert plan is not None
    short = replace(plan, surfaces=plan.surfaces[1:])
    cut = replace(plan.cut, sheets=plan.cut.sheets[1:])
    dearer = replace(plan.cut, cost=plan.cut.cost - 1)

    assert plan_faults(short, fields, sheet)
    assert plan_faults(replace(plan, cut=cut), fields, sheet)
    assert plan_faults(replace(plan, cut=dearer), fields, sheet)


def test_a_plan_the_checker_refuses_is_not_kept(
    first: MaterialPlan, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(board_search, "plan_faults", lambda *_: ["no"])

    assert searched(first.problem) == (first.record, first.new, first.new)


def test_repeats_and_gables_are_counted_and_covered() -> None:
    fields = (replace(WALLS[0], times=3), *WALLS[1:3])
    plan = planned_boards(fields, SHEET)
    assert plan is not None

    again, sheet = read_problem(plan.problem)
    canonical = planned_boards(again, sheet)

    assert canonical is not None
    assert plan_faults(canonical, again, sheet) == []

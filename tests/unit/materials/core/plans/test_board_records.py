"""Board problems and plans as text: names and places stay out, all else comes back."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from materials.core.lengths import Length
from materials.core.need import RackPiece
from materials.core.plans.board_panels import Field
from materials.core.plans.board_records import (
    cut_kept,
    digest_of,
    panels_kept,
    problem_of,
    read_problem,
)
from materials.core.plans.board_sheets import Sheet
from materials.core.plans.boards import planned_boards
from tests.unit.materials.core.plans.test_board_panels import a_field

mm = Length.mm
SHEET = Sheet(code="BB", words="1200 × 2400", width=mm(1200), length=mm(2400))
WALLS = (
    a_field(0, 0, 1312, 2365),
    a_field(0, 0, 961, 2365, times=2),
    a_field(0, 0, 2500, 2700),
)
GABLE = Field(
    place="Gable",
    outline=tuple((mm(x).ticks, mm(y).ticks) for x, y in
                  ((0, 0), (1800, 0), (1800, 1500), (900, 2600), (0, 1500))),
)  # fmt: skip


def kept(key: str, width: int, height: int) -> RackPiece:
    return RackPiece(
        key=key,
        words="by the door",
        width=mm(width),
        height=mm(height),
        value=Fraction(1, 2),
    )


def elsewhere(field: Field) -> Field:
    """Return the same shape under another name and at another place."""
    moved = tuple((x + 777, y + 55) for x, y in field.outline)
    return replace(field, place=f"other {field.place}", outline=moved)


def test_names_and_places_make_no_other_problem() -> None:
    same = replace(SHEET, code="other", words="other")
    moved = tuple(map(elsewhere, WALLS))

    assert problem_of(moved, same) == problem_of(WALLS, SHEET)


def test_sizes_repeats_kerf_way_in_and_rack_make_another_problem() -> None:
    others = (
        (WALLS[:1], SHEET),
        ((replace(WALLS[0], times=2), *WALLS[1:]), SHEET),
        (WALLS, replace(SHEET, kerf=mm(2))),
        (WALLS, replace(SHEET, passes=mm(700))),
        (WALLS, replace(SHEET, passes=mm(700), folds=True)),
        (WALLS, replace(SHEET, rack=(kept("a", 400, 900),))),
        (WALLS, replace(SHEET, rack=(kept("a", 400, 901),))),
    )
    digests = {digest_of(problem_of(*one)) for one in ((WALLS, SHEET), *others)}

    assert len(digests) == 1 + len(others)


def test_a_problem_read_again_is_the_same_problem() -> None:
    sheet = replace(SHEET, rack=(kept("a", 400, 900),), kerf=mm(2))
    problem = problem_of((*WALLS, GABLE), sheet)

    assert problem_of(*read_problem(problem)) == problem


def test_a_plan_read_from_its_record_is_the_same_plan() -> None:
    for sheet in (SHEET, replace(SHEET, rack=(kept("a", 500, 2400),))):
        for fields in (WALLS, (GABLE,), (*WALLS, GABLE)):
            plan = planned_boards(fields, sheet)
            assert plan is not None
            again = planned_boards(fields, sheet, plan.record)
            assert again == replace(plan, was_searched=True, is_open=False)


def test_a_plan_found_under_other_names_bears_the_names_of_today() -> None:
    sheet = replace(SHEET, rack=(kept("a", 500, 2400),))
    today = planned_boards(WALLS, sheet)
    first = planned_boards(
        tuple(map(elsewhere, WALLS)),
        replace(sheet, code="old", rack=(kept("z", 500, 2400),)),
    )
    assert first is not None
    assert today is not None

    again = planned_boards(WALLS, sheet, first.record)

    assert again == replace(today, was_searched=True, is_open=False)


def test_a_record_tells_fixed_seams_from_chosen_ones() -> None:
    fixed, chosen = planned_boards((GABLE,), SHEET), planned_boards(WALLS, SHEET)
    assert fixed is not None
    assert chosen is not None

    assert panels_kept(fixed.record, []) is None
    assert chosen.cut.used == cut_kept(chosen.record, ["x"] * 99, SHEET).used

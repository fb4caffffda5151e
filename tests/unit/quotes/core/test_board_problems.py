"""The cutting problems of a visit are those its takeoff meets."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from materials.core.need import Need
from materials.core.plans.board_records import digest_of
from materials.core.pricelist import catalogue_on
from quotes.core.board_problems import board_plans, board_problems
from quotes.core.takeoff import take_off
from quotes.core.visit_file import read_visit
from tests.builders import a_bare_visit, a_shower
from tests.unit.quotes.core.test_takeoff import ON

VISIT = read_visit(a_shower())
assert VISIT.price_list is not None
CATALOGUE = catalogue_on(VISIT.price_list, ON)


def test_the_problems_are_known_before_anything_is_planned() -> None:
    plans = board_plans(take_off(VISIT, CATALOGUE).needs)

    found = board_problems(VISIT, CATALOGUE)

    assert len(found) == 1
    assert found == tuple(digest_of(plan.problem) for plan in plans)


def test_a_takeoff_takes_the_plan_it_is_brought() -> None:
    (first,) = board_plans(take_off(VISIT, CATALOGUE).needs)
    (digest,) = board_problems(VISIT, CATALOGUE)
    board = replace(CATALOGUE["KB-12"], plans={digest: first.record})

    (again,) = board_plans(take_off(VISIT, {**CATALOGUE, "KB-12": board}).needs)

    assert again == replace(first, was_searched=True, is_open=False)


def test_plans_of_joined_needs_are_all_found() -> None:
    (plan,) = board_plans(take_off(VISIT, CATALOGUE).needs)
    joined = Need(
        material="KB-12", unit="sheet", quantity=Fraction(2), plan=(plan, plan)
    )

    assert board_plans([joined]) == (plan, plan)


def test_a_visit_without_boards_has_no_problem() -> None:
    assert board_problems(read_visit(a_bare_visit()), CATALOGUE) == ()

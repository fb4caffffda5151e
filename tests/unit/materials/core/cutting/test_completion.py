"""Completion: an exact yes with a plan, an exact no, beside brute force."""

from __future__ import annotations

from collections import Counter
from random import Random

import pytest

from materials.core.cutting.blocks import TooLong
from materials.core.cutting.completion import Completion
from materials.core.cutting.problem import Problem, prepared
from materials.core.cutting.records import Piece, Rules, Stock
from tests.cutting_replay import DEEP, fewest_sheets, planned


def problem_of(
    sizes: list[tuple[int, int]], sheet: tuple[int, int], *, kerf: int = 0
) -> Problem:
    pieces = [Piece(name=f"{at}", width=a, height=b) for at, (a, b) in enumerate(sizes)]
    stock = [Stock(name="s", width=sheet[0], height=sheet[1])]
    return prepared(pieces, stock, Rules(kerf=kerf))


def asked(problem: Problem, *, steps: int = 200_000) -> Completion:
    exact = Completion(problem, problem.sizes[0], stop=lambda: False)
    exact.blocks.left = steps
    return exact


@pytest.mark.parametrize("seed", range(60))
def test_it_says_yes_from_the_true_optimum_on(seed: int) -> None:
    rng = Random(f"completion {seed}")
    kerf = rng.randrange(2)
    least = 1 + kerf
    sizes = [
        (rng.randint(least, 6), rng.randint(least, 6)) for _ in range(rng.randint(3, 6))
    ]
    sheet = rng.randint(6, 8), rng.randint(6, 8)
    problem = problem_of(sizes, sheet, kerf=kerf)
    best = fewest_sheets(sizes, sheet, kerf=kerf, turn=True)
    exact = asked(problem)

    plan = exact.plan(best)

    assert plan is not None
    cut = Counter(move[0] for moves in plan for move in moves if move[0] >= 0)
    assert cut == {at: sort.count for at, sort in enumerate(problem.sorts)}
    assert best == 1 or asked(problem).plan(best - 1) is None


def test_its_no_is_a_proof_that_can_only_be_run_again() -> None:
    # Two by area, by stand-in areas and by prices; three by trying all.
    sizes = [(5, 9), (7, 3), (6, 5), (3, 6), (9, 3), (5, 7)]
    job = {
        "unit": "mm",
        "stock": [{"name": "s", "width": 10, "height": 10, "price": 1}],
        "pieces": [
            {"name": f"{at}", "width": a, "height": b}
            for at, (a, b) in enumerate(sizes)
        ],
    }

    told = planned(job, DEEP)

    assert told["certificate"] == {"kind": "search"}
    assert told["proven"]
    assert told["used"] == fewest_sheets(sizes, (10, 10), kerf=0, turn=True) == 3


def test_what_prices_prove_is_not_left_to_a_search() -> None:
    sizes = [(3, 3), (5, 9), (4, 8), (9, 8)]
    job = {
        "unit": "mm",
        "stock": [{"name": "s", "width": 10, "height": 10, "price": 1}],
        "pieces": [
            {"name": f"{at}", "width": a, "height": b}
            for at, (a, b) in enumerate(sizes)
        ],
    }

    told = planned(job, DEEP)

    assert told["certificate"]["kind"] == "price"
    assert told["proven"]


def test_too_few_steps_give_no_answer() -> None:
    problem = problem_of([(5, 4), (4, 3), (5, 3), (3, 3), (6, 2)], (8, 8))

    with pytest.raises(TooLong):
        asked(problem, steps=3).plan(2)

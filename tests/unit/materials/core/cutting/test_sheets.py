"""Sheets: the plan replays, the bound holds, tiny cases are optimal."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from random import Random

import pytest

from materials.core.cutting.linear import Column, whole_cover
from materials.core.cutting.problem import Problem, prepared
from materials.core.cutting.records import (
    DoesNotFit,
    NotEnoughStock,
    Piece,
    Rules,
    Stock,
)
from materials.core.cutting.sheets import plan_sheets
from materials.core.errors import Refusal
from tests.cases import CASES, SEED
from tests.cutting_replay import (
    DEEP,
    a_tiny_job,
    cheapest_of,
    fewest_sheets,
    planned,
)
from tests.limited_pattern import blocks_worth

BOARD = {"name": "board", "width": "48", "height": "96", "price": "20"}


def job(pieces: list[tuple[str, str, int]], **more: object) -> dict[str, object]:
    rows = [
        {"name": f"p{at}", "width": w, "height": h, "count": n}
        for at, (w, h, n) in enumerate(pieces)
    ]
    return {"unit": "in", "stock": [BOARD], "pieces": rows, **more}


@pytest.mark.parametrize("seed", range(40))
def test_tiny_jobs_are_bounded_by_the_true_optimum(seed: int) -> None:
    rng = Random(seed)
    sheet = rng.randint(4, 8), rng.randint(4, 8)
    kerf, turn = rng.choice([0, 0, 1]), rng.random() < 0.5
    low = min(sheet)
    sizes = [(rng.randint(1, low), rng.randint(1, low)) for _ in range(5)]
    rows = [
        {"name": f"{at}", "width": a, "height": b, "turn": turn}
        for at, (a, b) in enumerate(sizes)
    ]
    stock = [{"name": "s", "width": sheet[0], "height": sheet[1], "price": "1"}]

    told = planned({"unit": "mm", "kerf": kerf, "stock": stock, "pieces": rows}, DEEP)

    best = fewest_sheets(sizes, sheet, kerf=kerf, turn=turn)
    assert told["lower_bound"]["sheets"] <= best == told["used"]


def fewest_by_cover(problem: Problem) -> int:
    """Return the fewest sheets: a cover by every set that joining blocks upwards gives.

    Neither the planner's search nor its blocks or tables have a part in it.
    """
    areas = [sort.area for sort in problem.sorts]
    sets = list(dict.fromkeys(one[2] for one in blocks_worth(problem, areas, 0)))
    columns: list[Column] = [
        (1, {row: count for row, count in enumerate(counts) if count})
        for counts in sets
    ]
    need = [sort.count for sort in problem.sorts]
    times = whole_cover(columns, need, [], nodes=100_000, milliseconds=60_000)
    assert times is not None
    for row, least in enumerate(need):
        pairs = zip(sets, times, strict=True)
        assert sum(n * counts[row] for counts, n in pairs) >= least
    return sum(times)


@pytest.mark.parametrize("seed", range(40))
def test_small_jobs_take_what_a_cover_by_all_patterns_takes(seed: int) -> None:
    rng = Random(f"cover {seed}")
    sheet = rng.randint(9, 14), rng.randint(9, 14)
    kerf = rng.choice([0, 0, 1])
    rows = [
        {
            "name": f"{at}",
            "width": rng.randint(2, 9),
            "height": rng.randint(2, 9),
            "count": rng.choice([1, 1, 2]),
            "turn": rng.random() < 0.7,
        }
        for at in range(rng.randint(5, 7))
    ]
    stock = [{"name": "s", "width": sheet[0], "height": sheet[1], "price": "1"}]
    problem = prepared(
        [Piece(**row) for row in rows],
        [Stock(name="s", width=sheet[0], height=sheet[1])],
        Rules(kerf=kerf),
    )

    told = planned({"unit": "mm", "kerf": kerf, "stock": stock, "pieces": rows}, DEEP)

    fewest = fewest_by_cover(problem)
    assert told["lower_bound"]["sheets"] <= fewest <= told["used"]
    assert told["proven"] == (told["lower_bound"]["sheets"] == told["used"])
    assert told["used"] == fewest


def test_a_pinwheel_needs_two_sheets_when_cut_edge_to_edge() -> None:
    rows = [
        {"name": "arm", "width": 3, "height": 2, "count": 4},
        {"name": "hub", "width": 1, "height": 1},
    ]
    stock = [{"name": "s", "width": 5, "height": 5, "price": "1"}]

    told = planned({"unit": "mm", "stock": stock, "pieces": rows}, DEEP)

    # Their areas are those of one sheet, and without the rule they would fill it.
    assert (told["used"], told["lower_bound"]["sheets"], told["proven"]) == (2, 2, True)


def test_boards_a_little_over_half_take_a_sheet_each() -> None:
    told = planned(job([("24 1/16", "96", 5)]))

    assert (told["used"], told["proven"], told["certificate"]["kind"]) == (
        5,
        True,
        "dff",
    )


@pytest.mark.parametrize(("kerf", "bars"), [("0", 1), ("1/8", 2)])
def test_four_quarters_fit_a_sheet_only_without_a_kerf(kerf: str, bars: int) -> None:
    told = planned(job([("48", "24", 4)], kerf=kerf))

    assert (told["used"], told["proven"]) == (bars, True)


def test_whole_sheets_are_proved_by_their_area() -> None:
    told = planned(job([("48", "96", 3)]))

    assert (told["used"], told["certificate"]) == (3, {"kind": "area"})


def test_a_free_offcut_is_used_before_a_sheet_is_bought() -> None:
    offcut = {"name": "offcut", "width": "24", "height": "48", "count": 1}
    told = planned(job([("24", "48", 1)], stock=[BOARD, offcut]))

    assert (told["bought"], told["used"], told["cost"]) == (0, 1, "0.00")
    assert told["proven"]


def test_the_cheaper_size_is_bought_where_it_does() -> None:
    small = {"name": "half", "width": "48", "height": "48", "price": "12"}
    told = planned(job([("40", "40", 1)], stock=[BOARD, small]))

    assert told["cost"] == "12.00"


def test_no_strip_is_narrower_than_the_snap_allows() -> None:
    planned(job([("20", "30", 4), ("13", "21", 5)], snap="2"))


def test_doubling_every_size_changes_nothing() -> None:
    sizes = [(5, 7), (3, 9), (8, 8), (4, 6), (2, 5)]

    def used(by: int) -> int:
        pieces = [
            Piece(name=f"{n}", width=a * by, height=b * by, count=3)
            for n, (a, b) in enumerate(sizes)
        ]
        sheet = Stock(name="s", width=12 * by, height=20 * by, price=1)
        return plan_sheets(pieces, [sheet], Rules()).used

    assert used(1) == used(2)


def test_equal_jobs_give_equal_plans() -> None:
    pieces = [Piece(name=f"{n}", width=5 + n, height=9, count=4) for n in range(4)]
    sheet = [Stock(name="s", width=20, height=30, price=1)]

    assert plan_sheets(pieces, sheet, Rules()) == plan_sheets(pieces, sheet, Rules())


def test_what_cannot_be_cut_is_refused() -> None:
    piece = [Piece(name="a", width=9, height=9, count=2)]
    with pytest.raises(DoesNotFit, match="“a”"):
        plan_sheets(piece, [Stock(name="s", width=8, height=20)], Rules())
    with pytest.raises(NotEnoughStock):
        plan_sheets(piece, [Stock(name="s", width=17, height=17, count=1)], Rules())


def test_a_piece_thinner_than_the_blade_is_taken_for_a_slip() -> None:
    with pytest.raises(Refusal, match="kerf is wider than piece “sliver”"):
        planned(
            {
                "unit": "mm",
                "kerf": 3,
                "stock": [{"name": "s", "width": 12, "height": 20, "price": "1"}],
                "pieces": [{"name": "sliver", "width": 2, "height": 20, "count": 3}],
            }
        )


@pytest.mark.parametrize(("kerf", "cuts"), [(1, 3), (2, 2), (3, 1)])
def test_a_strip_too_narrow_to_snap_is_taken_off_by_the_blade(
    kerf: int, cuts: int
) -> None:
    told = planned(
        {
            "unit": "mm",
            "kerf": kerf,
            "snap": 4,
            "stock": [{"name": "s", "width": 10, "height": 9, "price": "1"}],
            "pieces": [{"name": "a", "width": 7, "height": 9, "turn": False}],
        }
    )

    assert len(told["sheets"][0]["cuts"]) == cuts


def test_without_a_blade_a_strip_too_narrow_is_said_to_be_the_reason() -> None:
    piece = [Piece(name="a", width=7, height=9, turn=False)]
    sheet = [Stock(name="s", width=10, height=9)]

    with pytest.raises(DoesNotFit, match="too narrow to snap off"):
        plan_sheets(piece, sheet, Rules(snap=4))
    with pytest.raises(DoesNotFit, match="too narrow to snap off"):
        plan_sheets(piece, [Stock(name="s", width=20, height=9)], Rules(kerf=1, snap=8))


@pytest.mark.cases
@pytest.mark.parametrize("seed", range(CASES // 50))
def test_no_job_that_some_list_of_cuts_makes_is_refused_or_priced_too_low(
    seed: int,
) -> None:
    rng = Random(f"cuts {SEED} {seed}")
    kerf, snap = rng.choice([(0, 0), (1, 0), (2, 2), (1, 2), (1, 3), (0, 2)])
    wanted = a_tiny_job(rng, kerf=kerf, snap=snap)
    best = cheapest_of(wanted)

    if best is None:
        with pytest.raises((DoesNotFit, NotEnoughStock)):
            planned(wanted, DEEP)
        return
    told = planned(wanted, DEEP)

    bound = told["lower_bound"]
    cost, least = (100 * Fraction(one) for one in (told["cost"], bound["cost"]))
    assert least <= 100 * best[0] <= cost
    assert cost == 100 * best[0] or not told["proven"]
    if cost == 100 * best[0]:
        assert (bound["sheets"] or 0) <= best[1] <= told["used"]


def random_pieces(rng: Random) -> list[Piece]:
    return [
        Piece(
            name=f"{at}",
            width=rng.randint(2, 12),
            height=rng.randint(2, 20),
            count=rng.randint(1, 3),
            turn=rng.random() < 0.5,
        )
        for at in range(rng.randint(2, 6))
    ]


@pytest.mark.parametrize("seed", range(8))
def test_a_turned_sheet_and_a_finer_unit_prove_the_same(seed: int) -> None:
    rng = Random(f"turned {seed}")
    pieces, kerf = random_pieces(rng), rng.randrange(2)
    plan = plan_sheets(
        pieces, [Stock(name="s", width=12, height=20, price=1)], Rules(kerf=kerf)
    )
    turned = plan_sheets(
        [replace(one, width=one.height, height=one.width) for one in pieces],
        [Stock(name="s", width=20, height=12, price=1)],
        Rules(kerf=kerf),
    )
    finer = plan_sheets(
        [replace(one, width=one.width * 7, height=one.height * 7) for one in pieces],
        [Stock(name="s", width=84, height=140, price=1)],
        Rules(kerf=kerf * 7),
    )

    assert (finer.used, finer.lower_bound) == (plan.used, plan.lower_bound)
    assert turned.lower_bound.cost <= plan.cost
    assert plan.lower_bound.cost <= turned.cost
    if plan.proven and turned.proven:
        assert plan.used == turned.used


@pytest.mark.parametrize("seed", range(8))
def test_one_piece_more_never_proves_fewer_sheets(seed: int) -> None:
    rng = Random(f"more {seed}")
    pieces = random_pieces(rng)
    stock = [Stock(name="s", width=12, height=20, price=1)]

    less = plan_sheets(pieces, stock, Rules())
    more = plan_sheets([*pieces, Piece(name="m", width=9, height=9)], stock, Rules())

    # What is proved of a part holds for the whole, and a plan of the whole has it.
    assert less.lower_bound.cost <= more.cost
    if less.proven and more.proven:
        assert less.used <= more.used

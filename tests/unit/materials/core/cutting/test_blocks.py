"""Blocks: the least sizes of a set, beside trying every cut."""

from __future__ import annotations

from itertools import product
from random import Random

import pytest

from materials.core.cutting.blocks import Blocks, TooLong
from materials.core.cutting.problem import prepared
from materials.core.cutting.records import Piece, Rules, Stock
from tests.cutting_replay import fewest_sheets
from tests.limited_pattern import blocks_worth, most_worth


def blocks(
    sizes: list[tuple[int, int]], sheet: tuple[int, int], *, kerf: int = 0
) -> Blocks:
    pieces = [Piece(name=f"{at}", width=a, height=b) for at, (a, b) in enumerate(sizes)]
    stock = [Stock(name="s", width=sheet[0], height=sheet[1])]
    problem = prepared(pieces, stock, Rules(kerf=kerf))
    found = Blocks(problem, problem.sizes[0], stop=lambda: False)
    found.left = 100_000
    return found


def test_two_pieces_have_their_least_sizes() -> None:
    found = blocks([(2, 3), (2, 3)], (9, 9))

    assert found.sizes((0, 0)) == [(2, 6), (3, 4), (4, 3), (6, 2)]


def test_a_pinwheel_is_no_guillotine_pattern() -> None:
    found = blocks([(3, 2), (1, 1)], (5, 5))

    assert found.fits((0, 0, 0, 1))
    assert not found.fits((0, 0, 0, 0))


@pytest.mark.parametrize("seed", range(40))
def test_a_set_fits_one_sheet_when_brute_force_finds_a_way(seed: int) -> None:
    rng = Random(f"blocks {seed}")
    kerf = rng.randrange(2)
    sizes = [(rng.randint(1 + kerf, 5), rng.randint(1 + kerf, 5)) for _ in range(4)]
    sheet = rng.randint(5, 8), rng.randint(5, 8)
    found = blocks(sizes, sheet, kerf=kerf)
    sorts = found.problem.sorts
    chosen = tuple(
        sorted(number for number, sort in enumerate(sorts) for _ in sort.names)
    )

    alone = fewest_sheets(sizes, sheet, kerf=kerf, turn=True) == 1

    assert found.fits(chosen) == alone
    assert bool(found.sizes(chosen)) == alone


def test_steps_that_are_used_up_end_it() -> None:
    found = blocks([(2, 3), (3, 4), (1, 2)], (9, 9))
    found.left = 2

    with pytest.raises(TooLong):
        found.sizes((0, 1, 2))


def listed(counts: tuple[int, ...]) -> tuple[int, ...]:
    return tuple(sort for sort, count in enumerate(counts) for _ in range(count))


@pytest.mark.parametrize("seed", range(30))
def test_sets_have_the_sizes_that_joining_blocks_upwards_gives(seed: int) -> None:
    rng = Random(f"joined {seed}")
    sizes = [(rng.randint(1, 5), rng.randint(1, 5)) for _ in range(rng.randint(3, 6))]
    sheet = rng.randint(5, 9), rng.randint(5, 9)
    found = blocks(sizes, sheet)
    upwards: dict[tuple[int, ...], list[tuple[int, int]]] = {}
    for wide, high, counts in blocks_worth(
        found.problem, [1] * len(found.problem.sorts), 0
    ):
        upwards.setdefault(counts, []).append((wide, high))

    sets = list(product(*(range(sort.count + 1) for sort in found.problem.sorts)))[1:]

    assert {counts: found.sizes(listed(counts)) for counts in sets} == {
        counts: upwards.get(counts, []) for counts in sets
    }


@pytest.mark.parametrize("seed", range(30))
def test_the_dearest_set_that_fits_is_the_best_limited_pattern(seed: int) -> None:
    rng = Random(f"dearest {seed}")
    sizes = [(rng.randint(1, 5), rng.randint(1, 5)) for _ in range(rng.randint(4, 7))]
    sheet = rng.randint(5, 8), rng.randint(5, 8)
    found = blocks(sizes, sheet)
    sorts = found.problem.sorts
    values = [rng.randint(1, 30) for _ in sorts]

    best = max(
        sum(n * value for n, value in zip(counts, values, strict=True))
        for counts in product(*(range(sort.count + 1) for sort in sorts))
        if not any(counts) or found.fits(listed(counts))
    )

    hope = sum(sort.count * value for sort, value in zip(sorts, values, strict=True))
    assert most_worth(found.problem, values, hope=hope)[0] == best

"""Blocks: the least sizes of a set, beside trying every cut."""

from __future__ import annotations

from random import Random

import pytest

from materials.core.cutting.blocks import Blocks, TooLong
from materials.core.cutting.problem import prepared
from materials.core.cutting.records import Piece, Rules, Stock
from tests.cutting_replay import fewest_sheets


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

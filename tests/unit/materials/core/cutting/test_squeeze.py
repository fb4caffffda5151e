"""Squeeze: every piece finds a place on the sheets, and only where it can."""

from __future__ import annotations

from random import Random

import pytest

from materials.core.cutting.greedy import Packer
from materials.core.cutting.squeeze import Squeeze

SIDES = [(3, 2), (4, 1), (2, 2)]
ONE_EACH = [0, 0, 0, 0, 1, 1, 2]
"""36 units of area: one sheet of 6 by 6 is filled to the last."""


def a_squeeze(sheets: int) -> Squeeze:
    ways = [((w, h, False, False, False), (h, w, True, False, False)) for w, h in SIDES]
    area = [w * h for w, h in SIDES]
    return Squeeze(Packer(ways, dust=0, least=0), [area], [(6, 6)] * sheets)


def searched(order: list[int], sheets: int, seed: int, work: int = 400_000) -> Squeeze:
    found = a_squeeze(sheets)
    rng = Random(seed)
    found.start(order, rng)
    found.run(rng, work, lambda: False)
    return found


def is_apart(one: tuple[int, ...], other: tuple[int, ...]) -> bool:
    return (
        one[0] + one[2] <= other[0]
        or other[0] + other[2] <= one[0]
        or one[1] + one[3] <= other[1]
        or other[1] + other[3] <= one[1]
    )


@pytest.mark.parametrize("seed", range(5))
def test_sheets_are_filled_to_the_last_corner(seed: int) -> None:
    found = searched(ONE_EACH * 8, 8, seed)

    assert not found.out
    assert [sum(one[0] >= 0 for one in moves) for moves in found.moves]
    for moves in found.moves:
        placed = [
            (one[3], one[4], *found.packer.ways[one[0]][one[1]][:2])
            for one in moves
            if one[0] >= 0
        ]
        assert sum(w * h for _x, _y, w, h in placed) <= 36
        assert all(x + w <= 6 and y + h <= 6 for x, y, w, h in placed)
        assert all(
            is_apart(one, other)
            for at, one in enumerate(placed)
            for other in placed[:at]
        )


def test_nothing_is_lost_or_doubled_on_the_way() -> None:
    order = ONE_EACH * 6 + [0]

    found = searched(order, 6, seed=3, work=40_000)

    laid = [one[0] for moves in found.moves for one in moves if one[0] >= 0]
    assert found.out
    assert sorted(laid + found.out) == sorted(order)


def test_full_sheets_are_remembered_once() -> None:
    found = searched(ONE_EACH * 6 + [0], 6, seed=3, work=40_000)

    sets = [
        tuple(sorted(one[0] for one in moves if one[0] >= 0))
        for _at, moves in found.patterns
    ]
    assert sets
    assert len(set(sets)) == len(sets)
    assert all(sum(SIDES[s][0] * SIDES[s][1] for s in one) > 31 for one in sets)


def test_equal_seeds_give_equal_plans() -> None:
    first, second = (searched(ONE_EACH * 6 + [0], 6, 7, 40_000) for _ in range(2))

    assert first.moves == second.moves


def squeezed(count: int) -> bool:
    ways = [((3, 2, False, False, False), (2, 3, True, False, False))]
    squeeze = Squeeze(Packer(ways, dust=0, least=0), [[6]], [(6, 6)])
    squeeze.start([0] * count, Random(1))
    return squeeze.run(Random(1), 20_000, lambda: False)


def test_six_fit_and_seven_do_not() -> None:
    assert squeezed(6)
    assert not squeezed(7)


def test_what_was_laid_before_is_gone_on_with() -> None:
    found = a_squeeze(2)
    found.resume([(0, 0, True, 0, 0, 6, 6, 0)], [(3, 6, 3, 0, 0), (3, 4, 0, 2, 0),
                 (6, 6, 0, 0, 1)], [0] * 11)  # fmt: skip

    assert found.run(Random(1), 50_000, lambda: False)
    assert sum(one[0] >= 0 for moves in found.moves for one in moves) == 12

"""Greedy packing: nothing overlaps, everything is in its sheet."""

from __future__ import annotations

from materials.core.cutting.greedy import Packer


def test_what_does_not_fit_is_left_and_the_rest_is_placed() -> None:
    packer = Packer([((4, 4, False, False, False),)], dust=0, least=0)
    free = [(10, 4, 0, 0, 0)]

    left, moves = packer.pack([0, 0, 0], free, 0, 4)

    assert left == [0]
    assert [(move[3], move[4]) for move in moves] == [(0, 0), (4, 0)]
    assert free == [(2, 4, 8, 0, 0)]

"""Set-outs: symmetrical ones, and proposals side by side."""

from __future__ import annotations

import pytest

from materials.core.lengths import MM
from quotes.core.layout.records import Rules, SetOut, Surface, box, rectangle
from quotes.core.layout.setout import OWN, propose, symmetrical
from quotes.core.layout.task import Task
from tests.pattern_proof import built


def task(surface: Surface, key: str = "stack", **sizes: object) -> Task:
    given = sizes or {"length": 300, "width": 200}
    return Task(surfaces=(surface,), lattice=built(key, "3", **given), rules=Rules())


@pytest.mark.parametrize("wide", [1000, 1212, 1350, 1499, 1500, 1710])
def test_no_end_cut_is_below_half_a_tile_in_stack_bond(wide: int) -> None:
    (tally,) = symmetrical(task(rectangle(wide * MM, wide * MM)))

    for piece in tally.pieces:
        assert piece.width >= (300 - 3) * MM // 2 or piece.width == 300 * MM
        assert piece.height >= (200 - 3) * MM // 2 or piece.height == 200 * MM


def test_both_ends_of_a_symmetrical_course_are_alike() -> None:
    (tally,) = symmetrical(task(rectangle(1000 * MM, 200 * MM)))

    assert len({piece.width for piece in tally.pieces}) == 1


ROOM = Surface(
    outer=tuple(
        (x * MM, y * MM)
        for x, y in (
            (0, 0),
            (2000, 0),
            (2000, 900),
            (1100, 900),
            (1100, 1700),
            (0, 1700),
        )
    ),
    holes=(box(300 * MM, 300 * MM, 310 * MM, 240 * MM),),
)


def test_proposals_are_told_apart_and_the_setter_s_own_is_kept() -> None:
    own = SetOut(origin=(7 * MM, 7 * MM))
    found = propose(task(ROOM), own=[own])

    assert found[-1].aim == OWN
    assert found[-1].set_outs == (own,)
    assert min(p.tiles for p in found) == min(
        p.tiles for p in found if p.aim in ("symmetrical", "least_tile")
    )
    assert all(proposal.cuts == proposal.plan.cut for proposal in found)

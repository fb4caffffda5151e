"""Set-outs: symmetrical, least tile, fewest cuts, and no worse than an even grid."""

from __future__ import annotations

from fractions import Fraction

import pytest

from materials.core.lengths import INCH, MM
from quotes.core.layout.counting import count
from quotes.core.layout.critical import grid_origins
from quotes.core.layout.records import Rules, SetOut, Surface, box, rectangle
from quotes.core.layout.reuse import cut_plan
from quotes.core.layout.setout import (
    OWN,
    Task,
    fewest_cuts,
    grained,
    least_tile,
    propose,
    symmetrical,
)
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


@pytest.mark.parametrize(
    ("key", "sizes"),
    [
        ("stack", {"length": 300, "width": 200}),
        ("running_bond", {"length": 300, "width": 150, "offset": "1/2"}),
        ("herringbone", {"length": 300, "width": 150}),
    ],
)
def test_no_origin_of_an_even_grid_is_better(
    key: str, sizes: dict[str, object]
) -> None:
    job = task(ROOM, key, **sizes)
    origins = [
        grained(point, Fraction(0))
        for point in grid_origins(job.lattice, job.angle, steps=7).tolist()
    ]
    tallies = [
        count(ROOM, job.lattice, SetOut(origin=origin), job.rules) for origin in origins
    ]

    (fewest,), (least,) = fewest_cuts(job), least_tile(job)

    assert fewest.cut_count <= min(tally.cut_count for tally in tallies)
    assert cut_plan([least], job.rules).strict <= min(
        cut_plan([tally], job.rules, certify=False).strict for tally in tallies
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


def test_an_origin_is_kept_as_it_will_be_printed() -> None:
    grain = Fraction(INCH, 10_000)

    x, y = grained((INCH / 32, 12_345.6), grain)

    assert grained((x, y), grain) == (x, y)
    assert abs(x - INCH / 32) <= 3
    assert grained((10.4, 10.5), Fraction(0)) == (10, 11)

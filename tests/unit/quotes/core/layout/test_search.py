"""Set-outs with least tile and fewest cuts: no worse than an even grid."""

from __future__ import annotations

from fractions import Fraction

import pytest

from materials.core.lengths import MM
from quotes.core.layout.counting import count
from quotes.core.layout.critical import grid_origins
from quotes.core.layout.records import Rules, SetOut, Surface, box, rectangle
from quotes.core.layout.reuse import cut_plan
from quotes.core.layout.search import Search, rough_size
from quotes.core.layout.task import Task, grained
from tests.pattern_proof import built

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


def task(*surfaces: Surface, key: str = "stack", **sizes: object) -> Task:
    given = sizes or {"length": 300, "width": 200}
    return Task(surfaces=surfaces, lattice=built(key, "3", **given), rules=Rules())


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
    job = task(ROOM, key=key, **sizes)
    origins = [
        grained(point, Fraction(0))
        for point in grid_origins(job.lattice, job.angle, steps=7).tolist()
    ]
    tallies = [
        count(ROOM, job.lattice, SetOut(origin=origin), job.rules) for origin in origins
    ]

    search = Search(job)
    (fewest,), (least,) = search.fewest_cuts(), search.least_tile()

    assert fewest.cut_count <= min(tally.cut_count for tally in tallies)
    assert cut_plan([least], job.rules).strict <= min(
        cut_plan([tally], job.rules, certify=False).strict for tally in tallies
    )


def test_walls_of_one_tile_are_chosen_to_share_offcuts() -> None:
    wall = rectangle(900 * MM, 1500 * MM)
    search = Search(task(wall, wall, ROOM))

    alone = sum(
        cut_plan(Search(task(one)).least_tile(), Rules()).strict
        for one in (wall, wall, ROOM)
    )

    assert cut_plan(search.least_tile(), Rules()).strict <= alone


def test_nothing_cut_counts_as_the_largest_smallest_cut() -> None:
    assert rough_size(None) > rough_size(2000 * MM) > rough_size(1999 * MM)
    assert rough_size(50 * MM) == rough_size(50 * MM + 9)

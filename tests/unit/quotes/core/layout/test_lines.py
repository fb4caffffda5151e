"""One axis: the smallest cut by its rule, and never worse than a dense grid."""

from __future__ import annotations

import math

from hypothesis import assume, given
from hypothesis import strategies as st

from materials.core.lengths import MM
from quotes.core.layout.counting import count
from quotes.core.layout.lines import (
    Edge,
    Row,
    best_line,
    best_shift,
    edges_of,
)
from quotes.core.layout.records import Rules, SetOut, box, rectangle
from tests.cases import some_cases
from tests.pattern_proof import built


def the_row(length: int = 300, joint: int = 3) -> Row:
    return Row(tile=length * MM, joint=joint * MM)


def wall(length: int) -> tuple[Edge, Edge]:
    return Edge(0, begins=True), Edge(length * MM, begins=False)


def test_the_ends_of_a_wall_are_what_the_half_tile_rule_says() -> None:
    """End = (L − n·t + t) ÷ 2 with n whole tiles; here 2,000 = 6 × 300 + 5 × 3 + 2 e
    less two joints: e = 89.5, or five whole and 241."""
    found = best_line(the_row(), wall(2000), grain=1)

    assert found.smallest == 241 * MM


def test_a_wall_of_whole_tiles_has_no_cut() -> None:
    assert best_line(the_row(), wall(5 * 303 - 3)).smallest == 300 * MM


def test_a_bond_is_as_good_as_its_worst_row() -> None:
    row = Row(tile=300 * MM, joint=0, shifts=(0, 150 * MM))

    assert row.cut(Edge(0, begins=True), 0) == 150 * MM
    assert best_line(row, wall(3000)).smallest == 75 * MM * 2


sides = st.integers(1, 4000).map(lambda mm: mm * MM)


@some_cases
@given(
    tile=st.integers(40, 1200), joint=st.integers(0, 10),
    edges=st.lists(st.tuples(sides, st.booleans()), min_size=1, max_size=8),
    parts=st.integers(1, 4), grain=st.sampled_from([1, MM, 120]),
)  # fmt: skip
def test_no_line_of_a_dense_grid_is_better(
    tile: int,
    joint: int,
    edges: list[tuple[int, bool]],
    parts: int,
    grain: int,
) -> None:
    shifts = tuple((tile + joint) * MM * part // parts for part in range(parts))
    row = Row(tile=tile * MM, joint=joint * MM, shifts=shifts)
    known = [Edge(at, begins) for at, begins in edges]

    found = best_line(row, known, grain=grain)

    assert found.at % grain == 0
    assert found.smallest == row.smallest(known, found.at)
    step = math.lcm(grain, max(grain, row.module // 400 // grain * grain))
    assert all(
        row.smallest(known, line) <= found.smallest
        for line in range(0, row.module, step)
    )


@some_cases
@given(
    low=st.integers(100, 3000), width=st.integers(100, 900), line=st.integers(0, 600),
    tile=st.integers(100, 600), joint=st.integers(0, 5), reach=st.integers(0, 80),
)  # fmt: skip
def test_no_move_of_an_opening_is_better(
    low: int, width: int, line: int, tile: int, joint: int, reach: int
) -> None:
    row = the_row(tile, joint)
    ends = low * MM, (low + width) * MM

    move, cut = best_shift(
        row, ends, line * MM, reach=(-reach * MM, reach * MM), grain=MM
    )

    tried = []
    for step in range(-reach, reach + 1):
        edges = (
            Edge(ends[0] + step * MM, begins=False),
            Edge(ends[1] + step * MM, begins=True),
        )
        tried.append((row.smallest(edges, line * MM), -abs(step)))
    assert (cut, -abs(move) // MM) == max(tried)


@some_cases
@given(width=st.integers(700, 4000), line=st.integers(0, 302))
def test_the_smallest_cut_along_a_wall_is_the_one_the_count_finds(
    width: int, line: int
) -> None:
    """One course just as high as the tile: only its ends are cut."""
    surface = rectangle(width * MM, 400 * MM)
    edges = edges_of(surface.outer, surface.holes, axis=0)
    expected = the_row().smallest(edges, line * MM)
    assume(expected >= 3 * MM)

    lattice = built("stack", "3", length=300, width=400)
    found = count(surface, lattice, SetOut(origin=(line * MM, 0)), Rules())

    assert found.smallest_cut == (expected if expected < 300 * MM else None)


def test_tiling_begins_right_of_a_hole_and_ends_left_of_it() -> None:
    outer, hole = box(0, 0, 2000, 1000), box(500, 300, 400, 200)
    across = {Edge(0, True), Edge(2000, False), Edge(500, False), Edge(900, True)}
    up = {Edge(0, True), Edge(1000, False), Edge(300, False), Edge(500, True)}

    for ring in (hole, tuple(reversed(hole))):
        assert set(edges_of(outer, (ring,), axis=0)) == across
        assert set(edges_of(outer, (ring,), axis=1)) == up

"""Tiles to buy: closed forms, the order of the figures, plans that can be replayed."""

from __future__ import annotations

import itertools
from fractions import Fraction

import pytest
import shapely
import shapely.affinity
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from materials.core.lengths import MM
from quotes.core.layout.counting import count
from quotes.core.layout.records import Rules, SetOut, Surface, Tally, box, rectangle
from quotes.core.layout.reuse import CutPlan, cut_plan
from quotes.core.pattern import Lattice
from tests.cases import CASES
from tests.pattern_proof import built

PLAY = 12
"""Ticks a replay forgives: corners are whole ticks on both sides of a kerf."""


def planned(
    surface: Surface, lattice: Lattice, set_out: SetOut | None = None, **rules: object
) -> tuple[Tally, CutPlan]:
    chosen = Rules(**rules)  # type: ignore[arg-type]
    tally = count(surface, lattice, set_out or SetOut(), chosen)
    return tally, cut_plan([tally], chosen)


def figures(plan: CutPlan) -> tuple[int, int | None, int, int]:
    return plan.area_bound, plan.free, plan.strict, plan.no_reuse


def test_ten_pieces_of_two_thirds_take_ten_tiles() -> None:
    _, plan = planned(
        rectangle(3000 * MM, 2000 * MM), built("stack", "0", length=300, width=300)
    )

    assert figures(plan) == (67, 70, 70, 70)
    assert plan.is_proven


def test_halves_of_a_half_bond_share_tiles() -> None:
    _, plan = planned(
        rectangle(3000 * MM, 3000 * MM),
        built("running_bond", "0", length=300, width=300, offset="1/2"),
    )

    assert figures(plan) == (100, 100, 100, 105)


@pytest.mark.parametrize(("joint", "strict"), [("2", 100), ("1", 105)])
def test_halves_fit_one_tile_when_the_kerf_is_no_wider_than_the_joint(
    joint: str, strict: int
) -> None:
    lattice = built("running_bond", joint, length=300, width=300, offset="1/2")
    step = 300 * MM + int(joint) * MM
    surface = rectangle(10 * step - int(joint) * MM, 10 * step - int(joint) * MM)

    _, plan = planned(surface, lattice, kerf=2 * MM)

    assert plan.strict == strict
    assert plan.is_proven


@given(
    columns=st.integers(1, 6), rows=st.integers(1, 9), rest=st.integers(10, 290),
    kerf=st.integers(0, 4),
)  # fmt: skip
@settings(max_examples=max(100, CASES // 10), deadline=None)
def test_one_cut_column_takes_what_the_closed_form_says(
    columns: int, rows: int, rest: int, kerf: int
) -> None:
    surface = rectangle((300 * columns + rest) * MM, 300 * rows * MM)

    _, plan = planned(
        surface, built("stack", "0", length=300, width=300), kerf=kerf * MM
    )

    # A square may be turned, so quarter-turned strips could only part in two.
    share = 2 if 2 * rest + kerf <= 300 else 1
    assert plan.strict == columns * rows + -(-rows // share)
    assert plan.is_proven


def test_directional_tiles_are_not_turned() -> None:
    surface = rectangle(1000 * MM, 1200 * MM)
    lattice = built("stack", "0", length=400, width=300)

    _, turning = planned(surface, lattice)
    _, directional = planned(surface, lattice, directional=True)

    assert (turning.strict, directional.strict) == (10, 12)


def test_pieces_of_all_surfaces_are_pooled() -> None:
    lattice = built("stack", "0", length=400, width=300)
    rules = Rules()
    wall = rectangle(1000 * MM, 300 * MM)
    tallies = [count(wall, lattice, SetOut(), rules) for _ in range(2)]

    assert sum(cut_plan([tally], rules).strict for tally in tallies) == 6
    assert cut_plan(tallies, rules).strict == 5


def test_a_piece_without_a_factory_edge_slides_when_asked() -> None:
    riser = rectangle(1200 * MM, 90 * MM)
    lattice = built("stack", "0", length=300, width=300)
    middle = SetOut(origin=(0, -100 * MM))

    _, fixed = planned(riser, lattice, middle)
    _, sliding = planned(riser, lattice, middle, slide=True)

    assert (fixed.strict, sliding.strict) == (4, 2)


def test_a_surface_without_cuts_needs_its_whole_tiles_only() -> None:
    _, plan = planned(
        rectangle(900 * MM, 600 * MM), built("stack", "0", length=300, width=300)
    )

    assert figures(plan) == (6, 6, 6, 6)
    assert plan.tiles == ()
    assert plan.is_proven


PATTERNS = (
    ("stack", {"length": 300, "width": 200}),
    ("stack", {"length": 250, "width": 250}),
    ("running_bond", {"length": 300, "width": 97, "offset": "1/3"}),
    ("herringbone", {"length": 300, "width": 150}),
    ("hexagon", {"across": 200}),
    ("hopscotch", {"length": 300, "small": 150}),
    ("windmill", {"length": 300, "width": 100}),
    ("modular", {"module": 100}),
    ("chevron", {"length": 400, "width": 100, "slope": 45}),
    ("octagon_dot", {"across": 200}),
)


@st.composite
def rooms(draw: st.DrawFn) -> tuple[Tally, Rules]:
    key, sizes = draw(st.sampled_from(PATTERNS))
    wide, high = draw(st.integers(300, 1600)), draw(st.integers(300, 1600))
    off = draw(st.sampled_from([0, 0, 7]))
    outer = ((0, 0), (wide * MM, off * MM), (wide * MM, high * MM), (0, high * MM))
    holes = ()
    if draw(st.booleans()):
        holes = (box(wide * MM // 3, high * MM // 3, wide * MM // 4, high * MM // 4),)
    rules = Rules(kerf=draw(st.integers(0, 3)) * MM, directional=draw(st.booleans()))
    set_out = SetOut(
        origin=(draw(st.integers(0, 600)) * MM, draw(st.integers(0, 600)) * MM),
        angle=Fraction(draw(st.sampled_from([0, 0, 45, 30]))),
    )
    surface = Surface(outer=outer, holes=holes)
    return count(surface, built(key, "3", **sizes), set_out, rules), rules


@given(room=rooms())
@settings(
    max_examples=max(60, CASES // 20), deadline=None,
    suppress_health_check=list(HealthCheck),
)  # fmt: skip
def test_figures_stand_in_order_and_the_plan_replays(
    room: tuple[Tally, Rules],
) -> None:
    tally, rules = room
    plan = cut_plan([tally], rules)

    for item in plan.items:
        assert item.area_bound <= item.lower_bound <= item.strict <= item.no_reuse
        assert item.free is None or item.area_bound <= item.free <= item.strict
        assert len(item.tiles) == item.strict - item.full
    replay(tally, plan, rules)


def replay(tally: Tally, plan: CutPlan, rules: Rules) -> None:
    """Fail unless every piece is cut once, inside its tile, a kerf from the others."""
    items = {item.name: item for item in tally.lattice.items}
    seen = []
    for tile in plan.tiles:
        item = items[tile.item]
        face = shapely.Polygon(item.outline).buffer(PLAY, join_style="mitre")
        shapes = [shapely.Polygon(piece.outline) for piece in tile.pieces]
        assert len(shapes) <= 4
        assert all(face.covers(shape) for shape in shapes)
        for one, other in itertools.combinations(shapes, 2):
            assert one.distance(other) >= rules.kerf - PLAY or one.distance(other) == 0
            assert one.intersection(other).area < PLAY * one.length
        for piece in tile.pieces:
            assert piece.turn == 0 or not rules.directional
            assert piece.turn in item.turns
            outline = tally.pieces[piece.piece].outline
            turned = shapely.Polygon([item.turned(p, piece.turn) for p in outline])
            assert (
                turned.symmetric_difference(shapely.Polygon(piece.outline)).area
                <= 2 * turned.length
            )
            seen.append((piece.piece, piece.rank))
    assert sorted(seen) == [
        (index, rank)
        for index, piece in enumerate(tally.pieces)
        for rank in range(piece.count)
    ]

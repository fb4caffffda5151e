"""The count against a slow and independent one, closed forms and invariances."""

from __future__ import annotations

import json
import math
from fractions import Fraction

import pytest
from hypothesis import HealthCheck, assume, event, given, settings
from hypothesis import strategies as st

from materials.core.errors import BadShape, OutOfRange
from materials.core.lengths import INCH, MM
from materials.core.quantities import decimal_text
from quotes.core.geometry import nearest_tick, turned
from quotes.core.layout.counting import count, count_each
from quotes.core.layout.file import read_file, tallies_of
from quotes.core.layout.records import Rules, SetOut, Surface, box, rectangle
from quotes.core.pattern import Lattice
from tests.cases import CASES
from tests.layout_rooms import MOST_TILES, Case, sizes, verdict
from tests.pattern_proof import built

COMPARISONS = max(100, CASES // 20)
"""Few, and shrunk when they fail; test_rooms.py sees the many."""


@st.composite
def tiles(draw: st.DrawFn) -> dict[str, object]:
    key = draw(
        st.sampled_from(
            ["stack", "running_bond", "herringbone", "basketweave", "hexagon",
             "hopscotch", "windmill", "modular", "chevron", "octagon_dot"]
        )
    )  # fmt: skip
    joint = draw(st.sampled_from(["0", "1.5", "2", "3", "5"]))
    width = draw(st.integers(40, 300))
    length = draw(st.integers(width, 620))
    own: dict[str, Fraction | bool] = {}
    tile = {"length": length, "width": width}
    if key == "running_bond":
        own["offset"] = Fraction(draw(st.integers(0, 11)), 12)
        own["returning"] = draw(st.booleans())
    elif key == "herringbone":
        own["n"] = Fraction(draw(st.integers(1, 2)))
        tile["length"] = max(length, int(own["n"]) * (width + 5))
    elif key == "basketweave":
        n = draw(st.integers(2, 3))
        own["n"] = Fraction(n)
        # A longer tile would leave wide joints in a bundle, and is refused.
        spare = draw(st.integers(0, min(n * 5, (n - 1) * width // 5)))
        tile["length"] = n * width + spare
    elif key in ("hexagon", "octagon_dot"):
        tile = {"across": length}
    elif key == "hopscotch":
        tile = {"length": length, "small": width}
    elif key == "windmill":
        tile["length"] = max(length, width + 30)
    elif key == "modular":
        tile = {"module": width}
    elif key == "chevron":
        own["slope"] = Fraction(draw(st.integers(20, 60)))
    return {"pattern": key, "joint": joint, "tile": tile, "own": own}


def _star(draw: st.DrawFn, wide: int, high: int) -> list[tuple[int, int]]:
    count_of = draw(st.integers(3, 9))
    ring = []
    for k in range(count_of):
        reach = draw(st.integers(40, 100)) / 200
        turn = 2 * math.pi * k / count_of
        ring.append(
            (
                round(wide * (0.5 + reach * math.cos(turn))),
                round(high * (0.5 + reach * math.sin(turn))),
            )
        )
    return ring


def _outer(draw: st.DrawFn, wide: int, high: int) -> list[tuple[int, int]]:
    kind = draw(
        st.sampled_from(["rectangle", "rectangle", "ell", "askew", "askew", "star"])
    )
    if kind == "rectangle":
        return [(0, 0), (wide, 0), (wide, high), (0, high)]
    if kind == "ell":
        x, y = wide * 2 // 5, high // 2
        return [(0, 0), (wide, 0), (wide, y), (x, y), (x, high), (0, high)]
    if kind == "askew":
        off = [draw(st.integers(-9, 9)) for _ in range(8)]
        corners = [(0, 0), (wide, 0), (wide, high), (0, high)]
        return [
            (x + off[2 * k], y + off[2 * k + 1]) for k, (x, y) in enumerate(corners)
        ]
    return _star(draw, wide, high)


@st.composite
def cases(draw: st.DrawFn) -> Case:
    laid = draw(tiles())
    size = laid["tile"]
    assert isinstance(size, dict)
    sides = list(size.values())
    step = math.sqrt(sides[0] * sides[-1])
    wide = round(step * draw(st.integers(15, 140)) / 10)
    high = round(step * draw(st.integers(15, 140)) / 10)
    outer = _outer(draw, wide, high)
    holes = []
    if draw(st.booleans()):
        x, y = wide * 3 // 10, high * 3 // 10
        holes.append([(x, y), (x, high // 2), (wide // 2, high // 2), (wide // 2, y)])
    on_wall = draw(st.integers(0, 4)) == 0
    tenths = st.integers(-4000, 4000).map(lambda n: Fraction(n, 10))
    origin = outer[0] if on_wall else (draw(tenths), draw(tenths))
    turned = draw(st.integers(0, 2)) == 0
    angle = draw(st.sampled_from([45, 90, 30, Fraction("17.5"), -8])) if turned else 0
    return Case(
        outer=tuple(outer),
        holes=tuple(tuple(hole) for hole in holes),
        angle=Fraction(angle),
        origin=(Fraction(origin[0]), Fraction(origin[1])),
        gap=draw(st.sampled_from([0, 0, 0, 4])),
        **laid,  # type: ignore[arg-type]
    )


@settings(
    max_examples=COMPARISONS,
    deadline=None,
    suppress_health_check=list(HealthCheck),
)
@pytest.mark.cases
@given(case=cases())
def test_the_count_is_that_of_the_slow_reference(case: Case) -> None:
    try:
        tally = case.tally()
    except BadShape:
        assume(False)
    assume(tally.full_count + tally.cut_count <= MOST_TILES)
    found = verdict(case, tally)
    event(found)
    assert found != "differs"


def test_a_corner_whose_cut_falls_a_tick_beside_it_stays_a_corner() -> None:
    # Two corners a tick apart once took each other for straight, and the piece,
    # a triangle of 99.6 by 173 mm, was lost.
    case = Case(
        outer=((-1, 5), (4294, 0), (4291, 2745), (0, 2749)),
        holes=(),
        pattern="running_bond",
        tile={"length": 619, "width": 173},
        joint="2",
        own={"offset": Fraction(0), "returning": False},
        angle=Fraction(30),
        origin=(Fraction(-1), Fraction(5)),
        gap=4,
    )
    tally = case.tally()

    assert (tally.full, tally.cut) == ((77,), (65,))
    assert [(piece.count, piece.width) for piece in tally.absorbed] == [(1, 5702)]
    assert verdict(case, tally) == "same"


def counted(
    wide: int, high: int, lattice: Lattice, *, origin: tuple[int, int] = (0, 0)
) -> tuple[int, int]:
    surface = rectangle(wide * MM, high * MM)
    tally = count(surface, lattice, SetOut(origin=origin), Rules())
    return tally.full_count, tally.cut_count


def test_a_rectangle_from_its_corner_is_rows_times_columns() -> None:
    assert counted(3000, 2000, built("stack", "0", length=300, width=300)) == (60, 10)


def test_half_bond_cuts_two_halves_in_every_second_row() -> None:
    lattice = built("running_bond", "0", length=300, width=300, offset="1/2")

    assert counted(3000, 3000, lattice) == (95, 10)


def test_a_room_that_tiles_exactly_has_no_cut() -> None:
    assert counted(3000, 1500, built("stack", "0", length=300, width=150)) == (100, 0)


def test_a_tile_larger_than_the_room_is_one_cut() -> None:
    assert counted(200, 100, built("stack", "3", length=600, width=300)) == (0, 1)


def test_a_room_smaller_than_the_joint_takes_slivers_that_are_not_bought() -> None:
    lattice = built("stack", "3", length=300, width=300)
    tally = count(rectangle(2 * MM, 2000 * MM), lattice, SetOut(), Rules())

    assert tally.no_reuse == 0
    assert sum(piece.count for piece in tally.absorbed) == 7
    assert tally.smallest_cut is None


def test_tile_and_joint_add_up_to_the_region() -> None:
    surface = rectangle(2500 * MM, 1700 * MM, holes=(box(MM, MM, 99 * MM, 99 * MM),))
    tally = count(
        surface,
        built("herringbone", "3", length=400, width=93),
        SetOut(origin=(12_345, 678), angle=Fraction(45)),
        Rules(),
    )

    assert tally.laid_area + tally.joint_area == surface.area


@given(case=cases(), steps=st.tuples(st.integers(-3, 3), st.integers(-3, 3)))
@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
def test_moving_the_origin_by_the_lattice_changes_nothing(
    case: Case, steps: tuple[int, int]
) -> None:
    assume(case.angle == 0 and case.pattern in ("stack", "herringbone", "modular"))
    try:
        tally = case.tally()
    except BadShape:
        assume(False)
    u, v = tally.lattice.u, tally.lattice.v
    moved = tuple(
        int(tally.set_out.origin[axis] + steps[0] * u[axis] + steps[1] * v[axis])
        for axis in (0, 1)
    )

    again = count(
        tally.surface,
        tally.lattice,
        SetOut(origin=(moved[0], moved[1])),
        Rules(gap=case.gap * MM),
    )

    assert (again.full, again.cut) == (tally.full, tally.cut)
    assert sizes(again) == sizes(tally)


@given(case=cases())
@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
def test_turning_room_and_pattern_by_a_quarter_changes_no_count(case: Case) -> None:
    try:
        tally = case.tally()
    except BadShape:
        assume(False)
    surface, (x, y) = tally.surface, tally.set_out.origin
    spun = Surface(
        outer=tuple((-b, a) for a, b in surface.outer),
        holes=tuple(tuple((-b, a) for a, b in hole) for hole in surface.holes),
    )

    again = count(
        spun,
        tally.lattice,
        SetOut(origin=(-y, x), angle=case.angle + 90),
        Rules(gap=case.gap * MM),
    )

    assert (again.full, again.cut) == (tally.full, tally.cut)


def test_rings_may_run_either_way_and_start_anywhere() -> None:
    lattice = built("stack", "3", length=300, width=200)
    ring = ((0, 0), (2000 * MM, 0), (2000 * MM, 1500 * MM), (0, 1500 * MM))
    hole = box(500 * MM, 400 * MM, 300 * MM, 333 * MM)
    counts = {
        count(Surface(outer=outer, holes=(inner,)), lattice, SetOut(), Rules()).full
        for outer in (ring, ring[::-1], ring[2:] + ring[:2])
        for inner in (hole, hole[::-1])
    }

    assert len(counts) == 1


def test_inches_and_millimetres_of_one_room_count_alike() -> None:
    lattice = built("stack", "0", length="304.8", width="152.4")
    inches = rectangle(60 * INCH, 96 * INCH)
    metric = rectangle(int(Fraction("1524") * MM), int(Fraction("2438.4") * MM))

    one = count(inches, lattice, SetOut(), Rules())
    other = count(metric, lattice, SetOut(), Rules())

    assert (one.full, one.cut) == (other.full, other.cut) == ((80,), (0,))


def test_a_larger_room_never_takes_fewer_positions() -> None:
    lattice = built("herringbone", "3", length=300, width=97)
    takes = [sum(counted(1000 + 7 * k, 900 + 5 * k, lattice)) for k in range(40)]

    assert takes == sorted(takes)


@given(
    st.integers(400, 2500), st.integers(400, 2500), st.integers(0, 900),
    st.integers(0, 900), st.sampled_from([0, 30, 45, 90]),
)  # fmt: skip
def test_growth_never_takes_fewer_positions(
    wide: int, high: int, more: int, higher: int, angle: int
) -> None:
    lattice = built("running_bond", "3", length=300, width=97, offset="1/3")
    set_out = SetOut(origin=(1234, 567), angle=Fraction(angle))
    small, large = (
        count(rectangle(w * MM, h * MM), lattice, set_out, Rules(tolerance=96))
        for w, h in ((wide, high), (wide + more, high + higher))
    )

    # A sliver at a wall may be left to the joint in one and be a cut in the other.
    slivers = sum(piece.count for piece in large.absorbed)
    assert small.no_reuse <= large.no_reuse + slivers
    assert small.full_count <= large.full_count


@given(
    st.integers(16 * 20, 16 * 100), st.integers(16 * 20, 16 * 100),
    st.integers(-300, 300), st.integers(16 * 3, 16 * 24), st.integers(0, 4),
)  # fmt: skip
def test_sixteenths_of_an_inch_count_as_their_millimetres(
    wide: int, high: int, at: int, tile: int, joint: int
) -> None:
    def document(unit: str, one: Fraction) -> str:
        w, h, x, t, j = (
            str(decimal_text(part * one, places=4))
            for part in (wide, high, at, tile, joint)
        )
        return json.dumps(
            {
                "unit": unit,
                "surfaces": [{"outer": [["0", "0"], [w, "0"], [w, h], ["0", h]]}],
                "tile": {"length": t, "width": t},
                "joint": j,
                "pattern": {"name": "stack"},
                "origin": [x, x],
                "tolerance": "0.1" if unit == "mm" else "1/254",
            }
        )

    inches = read_file(document("in", Fraction(1, 16)))
    metric = read_file(document("mm", Fraction(254, 160)))
    (one,), (other,) = tallies_of(inches), tallies_of(metric)

    assert (one.full, one.cut) == (other.full, other.cut)
    assert one.joint_area == other.joint_area


@pytest.mark.parametrize("angle", [7, 30, 45])
@pytest.mark.parametrize(
    ("key", "sizes"),
    [
        ("stack", {"length": 300, "width": 200}),
        ("herringbone", {"length": 300, "width": 97}),
        ("hexagon", {"across": 200}),
        ("chevron", {"length": 500, "width": 90, "slope": 45}),
        ("octagon_dot", {"across": 200}),
    ],
)
def test_turning_room_and_pattern_together_changes_no_count(
    key: str, sizes: dict[str, object], angle: int
) -> None:
    lattice = built(key, "3", **sizes)
    ring = ((0, 0), (2011, 0), (2011, 1203), (907, 1203), (907, 1601), (0, 1601))
    outer = tuple((x * MM, y * MM) for x, y in ring)
    spun = tuple(
        (nearest_tick(x), nearest_tick(y))
        for x, y in (turned(corner, angle) for corner in outer)
    )
    origin = turned((37 * MM, 53 * MM), angle)
    plain, other = (
        count(Surface(outer=corners), lattice, set_out, Rules())
        for corners, set_out in (
            (outer, SetOut(origin=(37 * MM, 53 * MM))),
            (
                spun,
                SetOut(
                    origin=(nearest_tick(origin[0]), nearest_tick(origin[1])),
                    angle=Fraction(angle),
                ),
            ),
        )
    )

    assert (plain.full, plain.cut) == (other.full, other.cut)


@pytest.mark.parametrize("angle", [0, 20, 45])
@pytest.mark.parametrize(
    ("key", "sizes"),
    [
        ("stack", {"length": 300, "width": 200}),
        ("running_bond", {"length": 300, "width": 97, "offset": "1/3"}),
        ("herringbone", {"length": 300, "width": 100, "n": 2}),
        ("basketweave", {"length": 300, "width": 100, "n": 3}),
        ("hexagon", {"across": 200}),
        ("hopscotch", {"length": 300, "small": 150}),
        ("windmill", {"length": 300, "width": 100}),
        ("modular", {"module": 150}),
        ("chevron", {"length": 500, "width": 90, "slope": 45}),
        ("octagon_dot", {"across": 200}),
    ],
)
def test_without_joint_the_tiles_cover_the_region(
    key: str, sizes: dict[str, object], angle: int
) -> None:
    lattice = built(key, "0", **sizes)
    room = rectangle(
        2311 * MM, 1703 * MM, holes=(box(701 * MM, 500 * MM, 333 * MM, 277 * MM),)
    )
    set_out = SetOut(origin=(37 * MM, 53 * MM), angle=Fraction(angle))

    tally = count(room, lattice, set_out, Rules(tolerance=MM // 100))

    # Parts below a tenth of a square millimetre are dropped, one a cut tile at most.
    assert abs(tally.joint_area) < tally.cut_count * MM * MM // 5


def test_a_large_hall_is_counted_from_its_edges() -> None:
    full, cut = counted(50_000, 40_000, built("stack", "2", length=98, width=98))

    assert full + cut == 500 * 400
    assert cut == 0


def test_a_gap_along_the_edge_is_left_free() -> None:
    lattice = built("stack", "0", length=300, width=300)
    tally = count(
        rectangle(3000 * MM, 3000 * MM), lattice, SetOut(), Rules(gap=10 * MM)
    )

    assert (tally.full_count, tally.cut_count) == (64, 36)
    assert tally.tiled_area == (2980 * MM) ** 2


def test_a_gap_that_leaves_nothing_is_refused() -> None:
    with pytest.raises(BadShape, match="gap"):
        count(
            rectangle(100 * MM, 100 * MM),
            built("stack", length=300, width=300),
            SetOut(),
            Rules(gap=50 * MM),
        )


def test_a_tolerance_as_large_as_the_tile_is_refused() -> None:
    with pytest.raises(OutOfRange, match="tolerance"):
        count(
            rectangle(1000 * MM, 1000 * MM),
            built("stack", length=300, width=30),
            SetOut(),
            Rules(tolerance=10 * MM),
        )


def test_more_cuts_than_any_room_has_are_refused() -> None:
    with pytest.raises(OutOfRange, match="cut tiles"):
        count(
            rectangle(9_000_000 * MM, 9_000_000 * MM),
            built("stack", "1", length=10, width=10),
            SetOut(),
            Rules(),
        )


@pytest.mark.parametrize("angle", [0, 45, 7])
@pytest.mark.parametrize("key", ["stack", "herringbone", "modular"])
def test_several_set_outs_in_one_pass_are_what_each_is_alone(
    key: str, angle: int
) -> None:
    sizes = {"module": 150} if key == "modular" else {"length": 300, "width": 100}
    lattice, rules = built(key, "3", **sizes), Rules()
    surface = Surface(
        outer=tuple(
            (x * MM, y * MM)
            for x, y in (
                (0, 0),
                (1503, 0),
                (1500, 700),
                (900, 700),
                (900, 1300),
                (0, 1300),
            )
        ),
        holes=(box(300 * MM, 250 * MM, 310 * MM, 240 * MM),),
    )
    set_outs = [
        SetOut(origin=(x * MM, y * MM), angle=Fraction(angle))
        for x, y in ((0, 0), (37, 11), (300, 250), (-71, 503))
    ]

    together = count_each(surface, lattice, set_outs, rules)

    for set_out, tally in zip(set_outs, together, strict=True):
        alone = count(surface, lattice, set_out, rules)
        assert tally.set_out == set_out
        assert (tally.full, tally.cut) == (alone.full, alone.cut)
        assert tally.laid_area == alone.laid_area
        assert sorted(tally.met_places.tolist()) == sorted(alone.met_places.tolist())
        for mine, other in zip(
            (*tally.pieces, *tally.absorbed),
            (*alone.pieces, *alone.absorbed),
            strict=True,
        ):
            assert (mine.outline, mine.area, mine.count) == (
                other.outline, other.area, other.count,
            )  # fmt: skip
            assert sorted(mine.places.tolist()) == sorted(other.places.tolist())

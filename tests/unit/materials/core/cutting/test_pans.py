from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from random import Random
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.core import amounts
from materials.core.cutting.pan_linear import Halves, Tilt
from materials.core.cutting.pan_outlines import region_area
from materials.core.cutting.pan_overlay import without
from materials.core.cutting.pan_records import (
    LinearDrain,
    Pan,
    Recess,
    SlopeRule,
    Stock,
    Way,
)
from materials.core.cutting.pans import fit_pans
from materials.core.errors import OutOfRange
from materials.core.lengths import INCH, Length
from tests.cases import some_cases
from tests.pan_cases import (
    RULE,
    a_board,
    a_drain,
    a_mortar,
    a_pan,
    a_point,
    a_point_pan,
    a_recess,
    box,
    corner_heights,
    drain_heights,
    fitted,
    height_on_pan,
    inches,
    outline,
    points_in,
    reasons,
    ticks,
)

ELL = outline((0, 0), (48, 0), (48, 20), (30, 20), (30, 38), (0, 38))
NOTCHED = outline((0, 0), (46, 0), (46, 30), (36, 30), (36, 40), (0, 40))
SKEW = outline((0, 0), (40, 1), ("39 1/2", 31), ("1/4", 30))
SKEW_LEFT = outline((0, 0), (40, 0), (41, 34), (-1, 33))


def agree(way: Way, *, within: Fraction = Fraction(0)) -> None:
    """Check the surface of a way against its pans at a thousand points."""
    for piece in way.pieces:
        for point in points_in(piece, 1000 // len(way.pieces)):
            off = way.surface.at(point) - height_on_pan(piece, point)
            assert abs(off) <= within


@pytest.mark.parametrize(
    "recess",
    [
        a_recess(),
        a_recess(drain=a_drain(0, 3, 30)),
        a_recess(drain=a_drain(1, 2, 30)),
        a_recess(drain=a_drain(2, 0, 38)),
        a_recess(drain=a_drain(3, 0, 35)),
        a_recess(outline=ELL, drain=a_drain(0, 0, 48)),
        a_recess(outline=NOTCHED, drain=a_drain(5, 2, 36)),
    ],
    ids=["front", "narrow", "right", "back", "left", "ell", "notched"],
)
def test_the_floor_has_the_pan_s_own_height_at_a_thousand_points(
    recess: Recess,
) -> None:
    ways = fitted(recess, a_pan()).ways

    assert ways
    agree(ways[0])


@pytest.mark.parametrize("shape", [SKEW, SKEW_LEFT], ids=["drain askew", "flared"])
def test_out_of_square_the_heights_agree_to_far_below_a_tick(
    shape: tuple[Any, ...],
) -> None:
    ways = fitted(a_recess(outline=shape, drain=a_drain(0, 2, 34)), a_pan()).ways

    assert ways
    agree(ways[0], within=Fraction(1, 10**9))


@pytest.mark.parametrize("turn_side", [0, 1, 2, 3])
def test_a_point_pan_has_its_own_height_at_a_thousand_points(turn_side: int) -> None:
    at = [(19, 17), (21, 17), (21, 20), (19, 20)][turn_side]
    drain_at = (inches(22), inches(26))
    pan = a_point_pan(drain_at=drain_at, width=inches(48))

    ways = fitted(
        a_recess(drain=a_point(*at)),
        pan,
        rule=replace(RULE, least=Fraction(1, 60), most=Fraction(1, 20)),
    ).ways

    assert {way.pieces[0].turn for way in ways} == {0, 90, 180, 270}
    agree(next(way for way in ways if way.pieces[0].turn == 90 * turn_side))


def test_a_pan_larger_than_the_recess_is_trimmed_and_its_trimmings_are_money() -> None:
    way = fitted(a_recess(), a_pan()).ways[0]

    assert way.kind == "one_pan"
    assert way.cost == amounts.money("386.40", "USD")
    assert way.used == ticks(38) * ticks(35)
    assert way.used + way.trimmed == ticks(50) * ticks(46)
    assert way.trimmed_share == 1 - Fraction(38 * 35, 50 * 46)
    assert way.trimmed_money == amounts.money("162.96", "USD")
    assert [(trim.side, trim.amount) for trim in way.pieces[0].trims] == [
        ("drain", ticks(4)),
        ("right", ticks(12)),
        ("far", ticks(7)),
    ]


def test_a_pan_too_narrow_is_refused_with_both_widths() -> None:
    fit = fitted(a_recess(), a_pan(width=inches(37), count=1))

    assert fit.ways == ()
    assert reasons(fit, "Dell 46") == [
        "“Dell 46” does not do: it is 3′\u00a01″ wide and 3′\u00a02″ is needed."
    ]
    assert reasons(fit, "Dell 46 + Dell 46") == [
        "“Dell 46 + Dell 46” does not do: only one is to be had."
    ]


def test_the_strip_is_cut_away_under_a_drain_as_wide_as_the_recess() -> None:
    way = fitted(a_recess(), a_pan()).ways[0]

    assert drain_heights(way) == [Fraction(5, 6), Fraction(5, 6)]
    assert corner_heights(way)[2] == Fraction(5, 6) + Fraction(35, 36)


def test_the_strip_stays_under_a_drain_narrower_than_its_side() -> None:
    way = fitted(a_recess(drain=a_drain(0, 4, 30)), a_pan()).ways[0]

    assert drain_heights(way) == [Fraction(5, 6) - Fraction(1, 8)] * 2
    assert corner_heights(way)[2] == Fraction(5, 6) + Fraction(31, 36)
    assert [(step.where, step.at_start) for step in way.steps] == [
        ("strip", ticks("1/8"))
    ]


def test_the_drain_s_least_edge_moves_the_slice_up_the_slope() -> None:
    way = fitted(a_recess(lowest=inches(1)), a_pan()).ways[0]

    assert drain_heights(way) == [Fraction(1), Fraction(1)]
    assert way.pieces[0].slice_from == ticks(6)
    assert way.pieces[0].slice_to == ticks(41)


def test_a_least_edge_that_leaves_too_little_slope_is_refused() -> None:
    fit = fitted(a_recess(lowest=inches("1 1/4")), a_pan())

    assert fit.ways == ()
    assert "and 2′\u00a011″ is needed" in reasons(fit, "Dell 46")[0]


def test_a_kept_strip_below_the_drain_s_least_edge_is_refused() -> None:
    recess = a_recess(drain=a_drain(0, 4, 30), lowest=inches("3/4"))

    fit = fitted(recess, a_pan(count=1))

    assert fit.ways == ()
    assert "with its flat strip kept" in reasons(fit, "Dell 46")[0]


@pytest.mark.parametrize(
    ("least", "most", "word"),
    [("1/30", "1/20", "less than the least"), ("1/60", "1/40", "steeper than")],
)
def test_a_fall_outside_the_rule_is_refused(least: str, most: str, word: str) -> None:
    rule = SlopeRule(least=Fraction(least), most=Fraction(most))

    fit = fitted(a_recess(), a_pan(), rule=rule)

    assert fit.ways == ()
    assert word in reasons(fit, "Dell 46")[0]


def test_the_fall_to_the_farthest_corner_is_printed_and_may_be_the_rule() -> None:
    recess = a_recess(drain=a_drain(0, 16, 6))
    at_the_wall = fitted(recess, a_pan()).ways[0]

    strict = SlopeRule(least=Fraction(1, 37), most=Fraction(1, 24), run="corner")
    refused = fitted(recess, a_pan(count=1), rule=strict)
    mild = SlopeRule(least=Fraction(1, 48), most=Fraction(1, 24), run="corner")

    # 16 in across and 31 in up: a root of 1217 square inches.
    valley = at_the_wall.valley
    assert valley.slope**2 < Fraction(31, 36) ** 2 / 1217 + Fraction(1, 10**12)
    assert valley.slope**2 > Fraction(31, 36) ** 2 / 1217 - Fraction(1, 10**12)
    assert at_the_wall.slope == Fraction(1, 36)
    assert refused.ways == ()
    assert "to the farthest corner" in reasons(refused, "Dell 46")[0]
    assert fitted(recess, a_pan(), rule=mild).ways


@pytest.mark.parametrize("side", ["drain", "far", "left", "right"])
def test_a_side_that_may_not_be_trimmed_is_not_cut(side: str) -> None:
    pan = a_pan(trim=a_pan().trim - {side}, count=1)

    fit = fitted(a_recess(lowest=inches("7/8")), pan)

    if side in ("left", "right"):
        assert [trim.side for trim in fit.ways[0].pieces[0].trims].count(side) == 0
    elif side == "far":
        # Pushed down the slope until its far edge stands on the wall.
        assert corner_heights(fit.ways[0])[2] == 2
    else:
        assert fit.ways == ()
        assert "its drain side would have to be cut" in reasons(fit, "Dell 46")[0]


def test_the_flat_strip_may_always_be_cut_away() -> None:
    way = fitted(a_recess(), a_pan(trim=frozenset({"far", "left", "right"}))).ways[0]

    assert drain_heights(way)[0] == Fraction(5, 6)
    assert way.pieces[0].trims[0].amount == ticks(4)


def test_an_ell_shaped_recess_is_cut_from_one_pan() -> None:
    recess = a_recess(outline=ELL, drain=a_drain(0, 0, 48))

    way = fitted(recess, a_pan()).ways[0]

    assert way.used == ticks(1) ** 2 * (48 * 20 + 30 * 18)
    assert corner_heights(way) == [
        Fraction(5, 6) + Fraction(y, 36) for y in (0, 0, 20, 20, 38, 38)
    ]
    assert fitted(recess, a_pan(width=inches(47), count=1)).ways == ()


def test_a_drain_inside_the_elbow_leaves_floor_behind_it_and_is_refused() -> None:
    fit = fitted(a_recess(outline=ELL, drain=a_drain(2, 0, 18)), a_pan())

    assert fit.ways == ()
    assert any("would fall away from the drain" in one.reason for one in fit.refused)


def test_water_that_gathers_at_a_wall_of_an_ell_is_cautioned() -> None:
    recess = a_recess(outline=ELL, drain=a_drain(5, 0, 38))

    way = fitted(recess, a_pan(depth=inches(54), thick=inches("2 1/12"))).ways[0]

    assert way.cautions == ()
    turned = a_recess(
        outline=outline((0, 0), (30, 0), (30, 18), (48, 18), (48, 38), (0, 38)),
        drain=a_drain(0, 0, 30),
    )
    assert "Water gathers" in fitted(turned, a_pan()).ways[0].cautions[0]


def test_out_of_square_the_pan_lies_along_the_drain_side() -> None:
    recess = a_recess(outline=SKEW, drain=a_drain(0, 2, 30))

    way = fitted(recess, a_pan()).ways[0]
    corners = way.pieces[0].corners

    across = (corners[1][0] - corners[0][0], corners[1][1] - corners[0][1])
    assert across[0] * 1 == across[1] * 40
    assert region_area(way.pieces[0].keep) == region_area(without(SKEW, []))

    # The back wall is 30 in from the drain side at one end, a hair more at the other.
    short = a_pan(depth=inches(30), thick=inches("1 2/3"), count=1)
    assert fitted(recess, short).ways == ()
    assert fitted(recess, replace(short, depth=inches("30 1/8"))).ways


def test_the_outline_s_direction_changes_nothing_but_the_numbers() -> None:
    clockwise = tuple(reversed(box(0, 0, 38, 35)))

    way = fitted(a_recess(outline=clockwise, drain=a_drain(2, 0, 38)), a_pan()).ways[0]
    same = fitted(a_recess(), a_pan()).ways[0]

    assert sorted(map(str, corner_heights(way))) == sorted(
        map(str, corner_heights(same))
    )
    assert way.pieces[0].keep == same.pieces[0].keep
    assert way.pieces[0].turn == same.pieces[0].turn == 0


def test_a_flat_base_at_the_back_takes_the_upper_slice_level_with_its_board() -> None:
    recess = a_recess(flats=(box(0, 24, 38, 35),))

    way = fitted(recess, a_pan(), boards=(a_board(),)).ways[0]

    assert way.kind == "pan_and_board"
    assert way.name == "Dell 46 + Flat 2"
    assert way.cost == amounts.money("444.65", "USD")
    assert corner_heights(way)[2:] == [Fraction(2), Fraction(2)]
    assert drain_heights(way)[0] == 2 - Fraction(24, 36)
    assert [(step.where, step.at_start, step.at_end) for step in way.steps] == [
        ("flat 0", 0, 0)
    ]
    assert (way.pieces[0].slice_from, way.pieces[0].slice_to) == (ticks(18), ticks(42))


def test_a_board_lower_than_the_slope_beside_it_is_refused() -> None:
    recess = a_recess(flats=(box(0, 24, 38, 35),))

    fit = fitted(recess, a_pan(count=1), boards=(a_board(thickness=inches(1)),))

    assert fit.ways == ()
    assert "water would stand on it" in reasons(fit, "Dell 46 + Flat 2")[0]


def test_a_flat_area_without_boards_is_left_out_of_the_pan() -> None:
    recess = a_recess(flats=(box(0, 24, 38, 35),))

    way = fitted(recess, a_pan()).ways[0]

    assert way.kind == "one_pan"
    assert way.used == ticks(38) * ticks(24)
    assert corner_heights(way)[2:] == [None, None]
    assert way.cautions == (
        "The flat area is left as it is; what carries it is not in this price.",
    )


def test_a_flat_area_that_parts_the_floor_is_refused() -> None:
    fit = fitted(a_recess(flats=(box(0, 10, 38, 16),)), a_pan())

    assert fit.ways == ()
    assert "parts the floor in two" in reasons(fit, "Dell 46")[0]


def test_two_pans_join_where_neither_covers_alone() -> None:
    wide = a_recess(outline=box(0, 0, 80, 35), drain=a_drain(0, 0, 80))

    way = fitted(wide, a_pan()).ways[0]

    assert way.kind == "two_pans"
    assert way.cost == amounts.money("772.80", "USD")
    assert sum(piece.used for piece in way.pieces) == ticks(80) * ticks(35)
    agree(way)
    assert fitted(wide, a_pan(width=inches(39))).ways == ()


def test_two_pans_are_not_offered_where_one_of_them_does() -> None:
    fit = fitted(a_recess(), a_pan(), a_pan(name="Dell 30", width=inches(30)))

    assert [way.name for way in fit.ways] == ["Dell 46", "Dell 30 + Dell 30"]


def test_pans_of_different_fall_do_not_join() -> None:
    wide = a_recess(outline=box(0, 0, 80, 35), drain=a_drain(0, 0, 80))
    steeper = a_pan(name="Dell S", thick=inches("2 1/4"), count=1)

    fit = fitted(wide, a_pan(count=1), steeper)

    assert fit.ways == ()
    assert "the joint would not be flush" in reasons(fit, "Dell 46 + Dell S")[0]


def test_a_second_pan_carries_the_slope_on_uphill() -> None:
    deep = a_recess(outline=box(0, 0, 38, 70), drain=a_drain(0, 4, 30))
    upper = a_pan(
        name="Dell upper",
        thin=inches(2),
        thick=inches("3 1/6"),
        depth=inches(42),
        strip=inches(0),
        strip_drop=inches(0),
    )

    way = fitted(deep, a_pan(), upper).ways[0]

    assert way.name == "Dell 46 + Dell upper"
    agree(way)
    assert fitted(deep, a_pan(), a_pan(name="Dell low", strip=inches(0))).ways == ()


def test_a_point_drain_in_the_middle_places_the_pan_by_its_drain() -> None:
    recess = a_recess(drain=a_point(20, 17))

    way = fitted(recess, a_point_pan()).ways[0]

    assert way.pieces[0].at == (ticks(-5), ticks(-8))
    assert drain_heights(way) == [Fraction(1)]
    # 20 in left of the drain, 18 in back: the left plane is the higher one there.
    assert corner_heights(way)[3] == 1 + Fraction(20, 25) * Fraction(5, 8)
    assert [way.pieces[0].turn for way in fitted(recess, a_point_pan()).ways] == [0]


def test_a_point_pan_that_falls_short_of_a_wall_is_refused() -> None:
    fit = fitted(
        a_recess(drain=a_point(20, 17)), a_point_pan(width=inches(39), depth=inches(39))
    )

    assert fit.ways == ()
    assert "1/2″ short on its left side" in reasons(fit, "Dish 50")[0]


def test_a_point_drain_too_near_a_wall_has_no_level_rim() -> None:
    fit = fitted(a_recess(drain=a_point(10, 17)), a_point_pan(width=inches(80)))

    assert fit.ways == ()
    assert "a level rim cannot fall to this drain" in reasons(fit, "Dish 50")[0]


def test_a_trimmed_point_pan_tells_how_far_its_rim_is_from_level() -> None:
    way = fitted(a_recess(drain=a_point(19, 17)), a_point_pan()).ways[0]

    lowest = min(min(step.at_start, step.at_end) for step in way.steps)
    rim = Fraction(5, 8) / 25
    assert lowest == -(19 - 17) * rim * INCH


def test_a_pan_of_the_other_sort_is_refused_in_words() -> None:
    linear = fitted(a_recess(drain=a_point(19, 17)), a_pan())
    point = fitted(a_recess(), a_point_pan())

    assert "it is made for a linear drain" in reasons(linear, "Dell 46")[0]
    assert "it is made for a point drain" in reasons(point, "Dish 50")[0]


def test_every_turn_of_a_pan_is_a_way_or_a_refusal() -> None:
    fit = fitted(a_recess(drain=a_drain(1, 0, 35)), a_pan(depth=inches(52)))

    turns = {way.pieces[0].turn for way in fit.ways}
    assert turns == {90}
    assert turns | {one.turn for one in fit.refused} == {0, 90, 180, 270}


def test_ways_come_cheapest_first_and_the_bed_among_them() -> None:
    dear = a_pan(name="Dell dear", price=amounts.money("400", "USD"))

    fit = fitted(a_recess(), dear, a_pan(), mortar=a_mortar())

    assert [way.name for way in fit.ways] == ["mortar bed", "Dell 46", "Dell dear"]
    assert [way.cost for way in fit.ways] == sorted(way.cost for way in fit.ways)
    assert [way.labour for way in fit.ways] == [
        "float_mortar_bed",
        "set_pan",
        "set_pan",
    ]


def test_what_goes_to_the_rack_is_taken_off_what_is_thrown_away() -> None:
    fit = fitted(a_recess(), a_pan(), leftover=(inches(10), inches(30)))

    way = fit.ways[0]
    # The strip 12 in wide runs the pan's whole depth; the 7 in and 4 in ones do not.
    assert way.rack_money == amounts.money("92.74", "USD")
    assert way.trimmed_money == amounts.money("70.22", "USD")


def test_a_recess_half_the_size_in_half_the_ticks_has_the_same_answer() -> None:
    recess = a_recess()
    finer = replace(
        recess,
        outline=tuple((x * 3, y * 3) for x, y in recess.outline),
        drain=a_drain(0, 0, 114),
        scale=3,
    )
    pan = a_pan()
    thrice = replace(
        pan,
        **{
            key: getattr(pan, key) * 3
            for key in ("width", "depth", "thin", "thick", "strip", "strip_drop")
        },
    )

    assert (
        fitted(finer, thrice).ways[0].sentence == fitted(recess, pan).ways[0].sentence
    )


@pytest.mark.parametrize("run", ["wall", "corner"])
@pytest.mark.parametrize(
    "changes",
    [{"thick": inches("5/6")}, {"thick": inches("1/2")}, {"strip": inches(46)}],
    ids=["level", "upside down", "all strip"],
)
def test_a_pan_that_does_not_fall_is_refused_in_words(
    changes: dict[str, Any], run: str
) -> None:
    recess = a_recess(drain=a_drain(0, 3, 30))

    fit = fitted(recess, a_pan(**changes), rule=replace(RULE, run=run))

    assert fit.ways == ()
    assert "it does not fall" in reasons(fit, "Dell 46")[0]


def test_a_point_pan_whose_facts_are_wrong_is_refused_in_words() -> None:
    recess = a_recess(drain=a_point(19, 17))
    outside = a_point_pan(drain_at=(inches(60), inches(9)))

    assert "outside it" in reasons(fitted(recess, outside), "Dish 50")[0]
    level = a_point_pan(thick=inches(1))
    assert "it does not fall" in reasons(fitted(recess, level), "Dish 50")[0]


def test_a_rule_that_is_none_is_refused_by_field() -> None:
    rule = SlopeRule(least=Fraction(0), most=Fraction(1, 24))

    with pytest.raises(OutOfRange, match="above 0") as caught:
        fitted(a_recess(), a_pan(), rule=rule)

    assert caught.value.field == "slope.min"


@st.composite
def rectangular_jobs(draw: st.DrawFn) -> tuple[Recess, Pan, bool]:
    """Give a rectangular recess, a pan that may or may not do, and a drain's width."""
    quarters = st.integers(40, 240).map(lambda n: Fraction(n, 4))
    thin = draw(st.integers(4, 12).map(lambda n: Fraction(n, 8)))
    width, depth = draw(quarters), draw(quarters)
    full = draw(st.booleans())
    recess = a_recess(
        outline=outline(
            (0, 0), (str(width), 0), (str(width), str(depth)), (0, str(depth))
        ),
        drain=a_drain(0, 0, str(width)) if full else a_drain(0, 2, 6),
        lowest=inches(str(draw(st.integers(0, 14).map(lambda n: Fraction(n, 8))))),
    )
    pan = a_pan(
        width=inches(str(draw(quarters))),
        depth=inches(str(draw(quarters))),
        thin=inches(str(thin)),
        thick=inches(
            str(thin + draw(st.integers(1, 20).map(lambda n: Fraction(n, 8))))
        ),
        strip=inches(draw(st.integers(0, 6))),
        count=1,
    )
    return recess, pan, full


@some_cases
@given(rectangular_jobs())
def test_in_a_rectangle_four_inequalities_decide(job: tuple[Recess, Pan, bool]) -> None:
    recess, pan, full = job
    _, _, (width, depth), _ = recess.outline
    thin, thick, lowest = pan.thin.ticks, pan.thick.ticks, recess.lowest.ticks
    strip = 0 if full else pan.strip.ticks
    slope = Fraction(thick - thin, pan.depth.ticks - pan.strip.ticks)
    edge = thin - (pan.strip_drop.ticks if strip else 0)
    base = thin if strip else max(thin, lowest)
    does = (
        RULE.least <= slope <= RULE.most
        and width <= pan.width.ticks
        and depth > strip
        and base + slope * (depth - strip) <= thick
        and (edge >= lowest or not strip)
    )

    ways = [way for way in fitted(recess, pan).ways if way.kind == "one_pan"]

    assert bool(ways) == does
    if does:
        assert ways[0].surface.at((0, depth)) == base + slope * (depth - strip)
        assert ways[0].surface.at((width, 0)) == (edge if strip else base)


@some_cases
@given(rectangular_jobs())
def test_a_mirrored_room_has_the_mirrored_floor(job: tuple[Recess, Pan, bool]) -> None:
    recess, pan, _ = job
    drain = recess.drain
    assert isinstance(drain, LinearDrain)
    mirrored = replace(recess, outline=tuple((-x, y) for x, y in recess.outline))

    here, there = fitted(recess, pan), fitted(mirrored, pan)

    assert [way.cost for way in here.ways] == [way.cost for way in there.ways]
    for one, other in zip(here.ways, there.ways, strict=True):
        assert corner_heights(one) == corner_heights(other)
        assert (one.trimmed, one.slope) == (other.trimmed, other.slope)


def many_pans(rng: Random, count: int) -> tuple[Pan, ...]:
    """Return pans of one fall whose pairs may or may not cover the floor."""
    pans = []
    for number in range(count):
        deep = rng.randrange(32, 60, 4)
        pans.append(
            a_pan(
                name=f"P{number}",
                width=inches(rng.randrange(30, 60, 2)),
                depth=inches(deep),
                thin=inches("3/4"),
                thick=Length.inch(Fraction(3, 4) + Fraction(deep, 48), exact=True),
            )
        )
    return tuple(pans)


@pytest.mark.parametrize("seed", range(8))
def test_what_is_remembered_changes_no_answer(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    rng = Random(f"remembered {seed}")
    wide, high = rng.randrange(50, 76), rng.randrange(40, 60)
    notch = rng.randrange(5, 25)
    ell = outline((0, 0), (wide, 0), (wide, high - 15), (wide - notch, high - 15),
                  (wide - notch, high), (0, high))  # fmt: skip
    recess = a_recess(
        outline=ell if seed % 2 else box(0, 0, wide, high),
        drain=a_drain(0, 2, wide - 6),
        flats=(box(0, high - 6, wide - notch, high),) if seed % 4 > 1 else (),
    )
    boards = (a_board(name="one"), a_board(name="two", thickness=inches(2)))
    stock = Stock(pans=many_pans(rng, 7), boards=boards)
    remembered = fit_pans(recess, stock=stock, rule=RULE)

    def forgetful(self: Tilt, axis: int, at: Fraction) -> Halves:
        self.faults.clear()
        return Halves(self.region, axis, at)

    monkeypatch.setattr(Tilt, "halves", forgetful)

    assert fit_pans(recess, stock=stock, rule=RULE) == remembered

from __future__ import annotations

from fractions import Fraction
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from materials.core.cutting.pan_floor import floor_of
from materials.core.cutting.pan_linear import tilt_of
from materials.core.cutting.pan_pairs import Joined, joined
from materials.core.cutting.pan_records import Pan, Recess
from materials.core.lengths import INCH
from tests.cases import some_cases
from tests.pan_cases import (
    RULE,
    a_drain,
    a_pan,
    a_point_pan,
    a_recess,
    box,
    inches,
    outline,
    ticks,
)

WIDE = a_recess(outline=box(0, 0, 80, 35), drain=a_drain(0, 0, 80))


def join(recess: Any, first: Pan, second: Pan) -> Joined | str:
    return joined(tilt_of(floor_of(recess)), (first, second), RULE)


def test_a_factory_edge_lies_in_the_joint() -> None:
    found = join(WIDE, a_pan(), a_pan())

    assert isinstance(found, Joined)
    assert found.joint in (ticks(30), ticks(50))
    cuts = sorted(trim.side for lay in found.lays for trim in lay.trims)
    assert cuts.count("left") + cuts.count("right") == 1


def test_the_joint_keeps_off_a_narrow_drain() -> None:
    recess = a_recess(outline=box(0, 0, 80, 35), drain=a_drain(0, 25, 30))

    found = join(recess, a_pan(width=inches(56)), a_pan(width=inches(56)))

    assert isinstance(found, Joined)
    assert not found.crosses_drain
    assert (
        found.joint == ticks(55) or found.joint == ticks(24) or found.joint == ticks(25)
    )


def test_a_joint_across_the_drain_is_taken_when_there_is_no_other() -> None:
    recess = a_recess(outline=box(0, 0, 80, 35), drain=a_drain(0, 20, 40))

    found = join(recess, a_pan(width=inches(41)), a_pan(width=inches(41)))

    assert isinstance(found, Joined)
    assert found.crosses_drain


def test_the_order_of_the_two_is_looked_for() -> None:
    deep = a_recess(outline=box(0, 0, 38, 70), drain=a_drain(0, 0, 38))
    upper = a_pan(
        name="Upper", thin=inches(2), thick=inches("3 1/6"), strip=inches(0),
        strip_drop=inches(0), depth=inches(42),
    )  # fmt: skip

    one = join(deep, a_pan(), upper)
    other = join(deep, upper, a_pan())

    assert isinstance(one, Joined)
    assert isinstance(other, Joined)
    assert {lay.pan.name for lay in one.lays} == {lay.pan.name for lay in other.lays}
    assert one.lays[0].pan == other.lays[0].pan == a_pan()


def test_an_ell_too_wide_for_either_is_joined_at_its_elbow() -> None:
    ell = outline((0, 0), (90, 0), (90, 20), (45, 20), (45, 40), (0, 40))
    recess = a_recess(outline=ell, drain=a_drain(0, 0, 90))
    shallow = a_pan(name="Shallow", depth=inches(25), thick=inches("1 5/12"))

    assert isinstance(join(recess, a_pan(), shallow), Joined)
    assert join(recess, shallow, shallow) == (
        "together they do not cover the floor at one fall"
    )


def test_pairs_that_cannot_join_say_why() -> None:
    assert join(WIDE, a_pan(count=1), a_pan(count=1)) == "only one is to be had"
    assert "made for a point drain" in str(join(WIDE, a_pan(), a_point_pan()))
    assert "not be flush" in str(
        join(WIDE, a_pan(), a_pan(name="Steep", thick=inches("2 1/4")))
    )
    small = a_pan(
        name="Small", width=inches(20), depth=inches(20), thick=inches("1 5/18")
    )
    assert join(WIDE, small, small) == "together they are neither wide nor deep enough"


def test_strips_of_two_depths_do_not_meet_under_one_drain() -> None:
    recess = a_recess(outline=box(0, 0, 80, 35), drain=a_drain(0, 25, 30))
    other = a_pan(name="Other", strip=inches(6), depth=inches(48))

    assert isinstance(join(recess, a_pan(), other), str)


@st.composite
def pairs(draw: st.DrawFn) -> tuple[Recess, Pan, Pan]:
    """Give a rectangle and two pans of one fall, 1 in 32, of any thickness."""

    def pan(name: str) -> Pan:
        sloping = draw(st.integers(15, 45))
        thin = Fraction(draw(st.integers(16, 48)), 32)
        return a_pan(
            name=name,
            width=inches(draw(st.integers(30, 70))),
            depth=inches(sloping + 4),
            thin=inches(str(thin)),
            thick=inches(str(thin + Fraction(sloping, 32))),
        )

    width, depth = draw(st.integers(20, 100)), draw(st.integers(10, 70))
    recess = a_recess(
        outline=box(0, 0, width, depth),
        drain=a_drain(0, 0, width),
        lowest=inches(draw(st.integers(0, 2))),
    )
    return recess, pan("Low"), pan("High")


@some_cases
@given(pairs())
def test_in_a_rectangle_a_pair_is_found_whenever_there_is_one(
    job: tuple[Recess, Pan, Pan],
) -> None:
    recess, first, second = job
    _, _, (width, depth), _ = recess.outline
    rise = Fraction(depth) / 32
    thin = [pan.thin.ticks for pan in (first, second)]
    thick = [pan.thick.ticks for pan in (first, second)]
    wide = [pan.width.ticks for pan in (first, second)]
    lowest = recess.lowest.ticks

    def beside() -> bool:
        return width <= sum(wide) and max(*thin, lowest) + rise <= min(thick)

    def above(below: int, top: int) -> bool:
        low = max(thin[below], lowest)
        return (
            width <= min(wide)
            and thin[top] <= thick[below]
            and low + rise <= thick[top]
            and low < thick[below]
        )

    alone = any(
        width <= wide[i] and max(thin[i], lowest) + rise <= thick[i] for i in (0, 1)
    )
    found = join(recess, first, second)

    if not alone:
        assert isinstance(found, Joined) == (beside() or above(0, 1) or above(1, 0))


def test_a_pan_whose_part_begins_further_up_need_not_reach_down_to_the_drain() -> None:
    # A drain 30 in wide, the floor twice as wide from 20 in up: there the second pan,
    # 1 1/8 in thin, meets a floor 1 1/6 in high that is 3/4 in high at the drain.
    ell = outline((0, 0), (30, 0), (30, 20), (60, 20), (60, 40), (0, 40))
    recess = a_recess(outline=ell, drain=a_drain(0, 0, 30))
    first = a_pan(width=inches(32), thin=inches("3/4"), thick=inches("1 5/8"))
    second = a_pan(
        name="Dell upper",
        width=inches(32),
        depth=inches(30),
        thin=inches("1 1/8"),
        thick=inches("1 3/4"),
        strip=inches(0),
        strip_drop=inches(0),
    )

    found = join(recess, first, second)

    assert isinstance(found, Joined)
    assert found.plane.base == ticks("3/4")
    assert ticks(30) <= found.joint <= ticks(32)


@st.composite
def widening_jobs(draw: st.DrawFn) -> tuple[Recess, Pan, Pan]:
    """Give a floor that widens or narrows uphill, and two pans of one fall, 1 in 48."""

    def pan(name: str) -> Pan:
        sloping = draw(st.integers(15, 45))
        thin = Fraction(draw(st.integers(24, 72)), 48)
        return a_pan(
            name=name,
            width=inches(draw(st.integers(20, 50))),
            depth=inches(sloping + 4),
            thin=inches(str(thin)),
            thick=inches(str(thin + Fraction(sloping, 48))),
        )

    width, foot = draw(st.integers(16, 34)), draw(st.integers(10, 24))
    other = draw(st.integers(8, 60).filter(lambda x: x != width))
    top = foot + draw(st.integers(8, 24))
    recess = a_recess(
        outline=outline(
            (0, 0), (width, 0), (width, foot), (other, foot), (other, top), (0, top)
        ),
        drain=a_drain(0, 0, width),
    )
    return recess, pan("Low"), pan("High")


Box = tuple[int, int, int, int]


def _reach(pans: tuple[Pan, Pan], boxes: tuple[Box, Box]) -> bool:
    """Return whether two pans of one fall, 1 in 48, cover two boxes on one plane."""
    least, most = 0, 1 << 60
    for pan, (left, foot, right, top) in zip(pans, boxes, strict=True):
        if (right - left) * INCH > pan.width.ticks:
            return False
        least = max(least, pan.thin.ticks - foot * INCH // 48)
        most = min(most, pan.thick.ticks - top * INCH // 48)
    return least <= most


@some_cases
@given(widening_jobs())
def test_two_pans_join_wherever_a_joint_on_the_inch_does(
    job: tuple[Recess, Pan, Pan],
) -> None:
    recess, first, second = job
    width, foot, other, top = (
        int(recess.outline[corner][axis]) // ticks(1)
        for corner, axis in ((1, 0), (2, 1), (3, 0), (4, 1))
    )

    def box_between(x0: int, y0: int, x1: int, y1: int) -> Box:
        """The bounds of the part of the floor in a rectangle with area in it."""
        parts = [
            (max(x0, 0), max(y0, a), min(x1, wide), min(y1, b))
            for wide, a, b in ((width, 0, foot), (other, foot, top))
        ]
        parts = [one for one in parts if one[0] < one[2] and one[1] < one[3]]
        return (
            min(one[0] for one in parts), min(one[1] for one in parts),
            max(one[2] for one in parts), max(one[3] for one in parts),
        )  # fmt: skip

    wide = max(width, other)
    upright = [
        (box_between(0, 0, x, top), box_between(x, 0, wide, top))
        for x in range(1, wide)
    ]
    level = [
        (box_between(0, 0, wide, y), box_between(0, y, wide, top))
        for y in range(1, top)
    ]
    feasible = any(
        _reach(pans, boxes)
        for pans in ((first, second), (second, first))
        for boxes in (*upright, *level)
    )

    whole = box_between(0, 0, wide, top)
    alone = any(_reach((pan, pan), (whole, whole)) for pan in (first, second))

    # Two are asked for only where neither does alone.
    if feasible and not alone:
        assert isinstance(join(recess, first, second), Joined)

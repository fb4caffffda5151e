from __future__ import annotations

from fractions import Fraction

import pytest

from materials.core.cutting.pan_floor import floor_of
from materials.core.cutting.pan_point import (
    bowl_lay,
    drain_place,
    level_rim_reason,
    used_falls,
    wall_runs,
)
from materials.core.cutting.pan_records import SlopeRule
from tests.pan_cases import (
    RULE,
    a_board,
    a_point,
    a_point_pan,
    a_recess,
    box,
    fitted,
    inches,
    outline,
    reasons,
    ticks,
)

MIDDLE = a_recess(drain=a_point(19, 17))


def test_every_wall_has_its_straight_run() -> None:
    runs = [run.ticks / ticks(1) for run in wall_runs(floor_of(MIDDLE))]

    assert runs == [17, 19, 18, 19]


def test_a_wall_that_turns_its_back_has_no_run() -> None:
    ell = outline((0, 0), (48, 0), (48, 20), (30, 20), (30, 38), (0, 38))

    facing = wall_runs(floor_of(a_recess(outline=ell, drain=a_point(40, 10))))

    assert [run.index for run in facing] == [0, 1, 2, 4, 5]


@pytest.mark.parametrize(
    ("x", "fits"), [("12 2/3", True), ("12 21/32", False), (19, True)]
)
def test_a_level_rim_may_be_as_long_to_short_as_the_rule_is_wide(
    x: str | int, fits: bool
) -> None:
    # 38 in wide: 25 1/3 to 12 2/3 is exactly two to one.
    reason = level_rim_reason(floor_of(a_recess(drain=a_point(x, 17))), RULE)

    assert (reason is None) == fits


def test_the_drain_is_in_the_middle_unless_the_pan_says() -> None:
    assert drain_place(a_point_pan()) == (ticks(25), ticks(25))
    place = (inches(10), inches(12))
    assert drain_place(a_point_pan(drain_at=place)) == (ticks(10), ticks(12))


def test_only_the_planes_that_are_left_must_keep_the_rule() -> None:
    # Seen from the drain the pan runs 10 in to its drain edge: 6.25 % there.
    pan = a_point_pan(drain_at=(inches(25), inches(10)))
    floor = floor_of(MIDDLE)

    found = bowl_lay(floor, a_point_pan(), 0, RULE)

    assert not isinstance(found, str)
    assert used_falls(floor, found[0]) == (Fraction(1, 40),) * 4
    assert "short on its drain side" in str(bowl_lay(floor, pan, 0, RULE))


@pytest.mark.parametrize(
    ("thick", "word"),
    [("2 1/8", "its steepest plane"), ("1 1/2", "its flattest plane")],
)
def test_a_plane_outside_the_rule_is_refused(thick: str, word: str) -> None:
    fit = fitted(MIDDLE, a_point_pan(thick=inches(thick)))

    assert fit.ways == ()
    assert word in reasons(fit, "Dish 50")[0]


def test_a_pan_too_thin_over_the_drain_is_refused() -> None:
    recess = a_recess(drain=a_point(19, 17), lowest=inches("1 1/4"))

    assert (
        "over the drain, which needs"
        in reasons(fitted(recess, a_point_pan()), "Dish 50")[0]
    )


def test_the_corner_rule_looks_along_the_valley() -> None:
    rule = SlopeRule(least=Fraction(1, 48), most=Fraction(1, 24), run="corner")
    flat = a_point_pan(thick=inches("1 17/32"))

    assert fitted(MIDDLE, flat).ways
    assert (
        "to the farthest corner"
        in reasons(fitted(MIDDLE, flat, rule=rule), "Dish 50")[0]
    )


def test_a_flat_base_in_a_corner_stands_on_its_board() -> None:
    recess = a_recess(
        outline=box(0, 0, 38, 44), drain=a_point(19, 17), flats=(box(0, 34, 38, 44),)
    )

    way = fitted(recess, a_point_pan(), boards=(a_board(),)).ways[0]

    assert way.kind == "pan_and_board"
    assert [step.where for step in way.steps if step.where.startswith("flat")] == [
        "flat 0"
    ]
    low = fitted(recess, a_point_pan(), boards=(a_board(thickness=inches(1)),))
    assert low.ways == ()


def test_a_side_that_may_not_be_trimmed_refuses_a_point_pan() -> None:
    pan = a_point_pan(trim=frozenset({"left", "right", "far"}))

    assert (
        "its drain side would have to be cut"
        in reasons(fitted(MIDDLE, pan), "Dish 50")[0]
    )

from __future__ import annotations

import tomllib
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from materials.core.cutting.pan_floor import floor_of
from materials.core.cutting.pan_linear import (
    bases,
    lay_over,
    one_lay,
    plane_of,
    tilt_of,
    tilt_reason,
    valley_run,
    wall_run,
)
from materials.core.cutting.pan_records import FlatBoard, Recess
from materials.core.lengths import INCH, Length
from materials.core.quantities import parse_number
from tests.pan_cases import (
    RULE,
    a_board,
    a_drain,
    a_pan,
    a_recess,
    box,
    fitted,
    inches,
    outline,
    ticks,
)

PRACTICE = tomllib.loads(
    (Path(__file__).parent / "common_practice_pans.toml").read_text("utf-8")
)


@pytest.mark.parametrize("case", PRACTICE["rise"], ids=lambda case: case["id"])
def test_a_usual_pan_falls_inside_the_usual_rule(case: dict[str, str]) -> None:
    pan = a_pan(
        thin=inches(case["thin"]),
        thick=inches(case["thick"]),
        depth=inches(case["sloping"]) + inches(4),
    )

    percent = pan.slope * 100

    assert parse_number(case["percent_least"]) <= percent
    assert percent <= parse_number(case["percent_most"])
    assert RULE.least <= pan.slope <= RULE.most


@pytest.mark.parametrize("case", PRACTICE["upper_slice"], ids=lambda case: case["id"])
@pytest.mark.parametrize("place", [0, 1], ids=["shorter", "longer"])
def test_a_flat_base_takes_the_upper_slice(case: dict[str, Any], place: int) -> None:
    front = parse_number(case["slope_depth"])
    back = front + parse_number(case["flat_depth"])
    pan = a_pan(
        thin=inches(case["thin"]),
        thick=inches(case["thick"]),
        strip=inches(case["strip"]),
        strip_drop=inches(case["strip_drop"]),
        depth=inches(case["sloping"][place]) + inches(case["strip"]),
    )
    recess = a_recess(
        outline=box(0, 0, 38, str(back)),
        flats=(
            outline((0, str(front)), (38, str(front)), (38, str(back)), (0, str(back))),
        ),
    )

    way = fitted(recess, pan, boards=(a_board(thickness=inches(case["board"])),)).ways[
        0
    ]

    assert way.surface.at((0, ticks(str(front)))) == ticks(case["board"])
    at_drain = way.surface.at((0, 0)) / INCH
    assert parse_number(case["at_drain_least"]) <= at_drain
    assert at_drain <= parse_number(case["at_drain_most"])


def a_tilt(recess: Recess, board: FlatBoard | None = None) -> Any:
    return tilt_of(floor_of(recess), board=board)


def test_the_heights_worth_trying_begin_level_with_the_board() -> None:
    tilt = a_tilt(a_recess(flats=(box(0, 24, 38, 35),)), a_board())

    found = bases(tilt, a_pan(), low=Fraction(ticks(1)), high=Fraction(ticks("1 3/8")))

    assert found == tuple(
        ticks(1) * one for one in (Fraction(4, 3), Fraction(1), Fraction(11, 8))
    )


def test_a_kept_strip_leaves_one_height() -> None:
    tilt = a_tilt(a_recess(drain=a_drain(0, 4, 30)))

    assert bases(tilt, a_pan(), low=Fraction(0), high=Fraction(9)) == (
        a_pan().thin.ticks,
    )


def test_a_floor_behind_the_drain_s_line_has_a_reason() -> None:
    ell = outline((0, 0), (48, 0), (48, 20), (30, 20), (30, 38), (0, 38))

    assert "behind the drain's line" in str(
        tilt_reason(a_tilt(a_recess(outline=ell, drain=a_drain(2, 0, 18))))
    )
    assert tilt_reason(a_tilt(a_recess())) is None


def test_a_strip_that_covers_the_whole_floor_has_no_fall() -> None:
    shallow = a_recess(outline=box(0, 0, 38, 4), drain=a_drain(0, 3, 30))

    assert "no fall" in str(one_lay(a_tilt(shallow), a_pan(), RULE))


def test_a_pan_with_a_drain_place_is_held_by_it() -> None:
    recess = a_recess(drain=a_drain(0, 4, 26))
    held = a_pan(drain_at=(inches(25), Length(0)))

    way = fitted(recess, held).ways[0]

    # The drain's middle is 17 in from the left wall, the pan's 25 in.
    assert way.pieces[0].at == (ticks(-8), 0)
    off = a_pan(drain_at=(inches(16), Length(0)), count=1)
    assert "does not reach both side walls" in fitted(recess, off).refused[-2].reason


def test_a_pan_is_flush_left_or_right_as_its_sides_allow() -> None:
    tilt = a_tilt(a_recess())
    pan = a_pan(trim=frozenset({"drain", "far", "left"}))
    plane = plane_of(tilt, pan, Fraction(pan.thin.ticks))

    lay = lay_over(tilt, pan, plane, tilt.region)

    assert not isinstance(lay, str)
    assert [trim.side for trim in lay.trims] == ["drain", "far", "left"]


def test_the_runs_start_where_the_slope_begins() -> None:
    tilt = a_tilt(a_recess(drain=a_drain(0, 4, 30)))
    plane = plane_of(tilt, a_pan(), Fraction(a_pan().thin.ticks))

    assert wall_run(tilt, plane).ticks == ticks(31)
    # The drain ends 4 in from either wall; the run is the root of 4² + 31².
    assert valley_run(tilt, plane).ticks ** 2 <= ticks(1) ** 2 * (16 + 961)
    assert valley_run(tilt, plane).slope < plane.slope

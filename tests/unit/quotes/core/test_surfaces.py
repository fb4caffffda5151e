"""Outlines from what was measured, and the closing error, never spread."""

from __future__ import annotations

from typing import Any

import pytest

from materials.core.errors import BadShape, Refusal
from materials.core.lengths import NOTHING, Length
from materials.core.outlines import perimeter, ring_area
from quotes.core.errors import WrongSurface
from quotes.core.surfaces import Outline, measured_outline, opening_ring
from quotes.core.visit_file import read_visit
from tests.builders import a_bare_visit, a_surface

mm = Length.mm


def outline(*more: dict[str, Any], **changes: Any) -> Outline:
    """Return the outline of the first surface of a room."""
    visit = read_visit(a_bare_visit(a_surface(**changes), *more))
    space = visit.spaces[0]
    return measured_outline(space.surfaces[0], space=space, system="metric")


def in_mm(found: Outline) -> list[tuple[int, int]]:
    return [(x // 1920, y // 1920) for x, y in found.ring]


def test_a_rectangle_begins_lower_left_and_runs_counter_clockwise() -> None:
    assert in_mm(outline()) == [(0, 0), (3000, 0), (3000, 2000), (0, 2000)]


@pytest.mark.parametrize(
    ("corner", "missing"),
    [
        ("lower_left", (0, 0)), ("lower_right", (3000, 0)),
        ("upper_right", (3000, 2000)), ("upper_left", (0, 2000)),
    ],
)  # fmt: skip
def test_an_l_is_cut_at_the_corner_named(corner: str, missing: tuple[int, int]) -> None:
    found = outline(shape={
        "kind": "l", "width": "3000", "height": "2000", "cut_width": "1000",
        "cut_height": "500", "corner": corner,
    })  # fmt: skip

    assert missing not in in_mm(found)
    assert len(found.ring) == 6
    assert ring_area(found.ring).sq_m * 2 == 11


def test_a_u_is_cut_from_above() -> None:
    found = outline(shape={
        "kind": "u", "width": "3000", "height": "2000", "cut_left": "500",
        "cut_width": "1000", "cut_height": "1500",
    })  # fmt: skip

    assert len(found.ring) == 8
    assert ring_area(found.ring).sq_m * 2 == 9


@pytest.mark.parametrize(
    "shape",
    [
        {"kind": "l", "width": "3000", "height": "2000", "cut_width": "3000",
         "cut_height": "500"},
        {"kind": "u", "width": "3000", "height": "2000", "cut_left": "500",
         "cut_width": "2500", "cut_height": "500"},
    ],
)  # fmt: skip
def test_a_cut_as_large_as_the_whole_is_refused(shape: dict[str, str]) -> None:
    with pytest.raises(WrongSurface, match="as large as the whole"):
        outline(shape=shape)


def test_a_run_that_closes_has_no_error() -> None:
    found = outline(shape={
        "kind": "run", "sides": ["3000", "2000", "3000", "2000"],
        "corners": ["90", "90", "90", "90"],
    })  # fmt: skip

    assert in_mm(found) == [(0, 0), (3000, 0), (3000, 2000), (0, 2000)]
    assert (found.closing, found.closing_error) == ("", NOTHING)


def test_a_run_that_does_not_close_says_by_how_much_and_spreads_nothing() -> None:
    found = outline(shape={
        "kind": "run", "sides": ["3000", "2000", "2990", "2000"],
        "corners": ["90", "90", "90", "90"],
    })  # fmt: skip

    assert found.closing_error == mm(10)
    assert "10\u00a0mm across" in found.closing
    assert in_mm(found) == [(0, 0), (3000, 0), (3000, 2000), (10, 2000)]


def test_corners_that_do_not_add_up_are_said() -> None:
    found = outline(shape={
        "kind": "run", "sides": ["3000", "2000", "3000", "2000"],
        "corners": ["90", "90", "90", "92"],
    })  # fmt: skip

    assert "362°, not 360°" in found.closing


def test_an_inside_corner_turns_the_other_way() -> None:
    found = outline(shape={
        "kind": "run",
        "sides": ["3000", "1000", "1000", "1000", "2000", "2000"],
        "corners": ["90", "90", "270", "90", "90"],
    })  # fmt: skip

    assert ring_area(found.ring).sq_m == 5
    assert found.closing == ""


def test_a_corner_not_square_goes_to_the_nearest_tick_once() -> None:
    found = outline(shape={
        "kind": "run", "sides": ["1000", "1000", "1000"], "corners": ["60", "60"],
    })  # fmt: skip

    assert found.ring[2][0] == mm(500).ticks
    assert found.ring[2][1] == 1662769
    assert found.closing_error <= Length(1)


def test_four_sides_and_a_diagonal_make_a_quadrilateral() -> None:
    found = outline(shape={
        "kind": "quadrilateral", "sides": ["3000", "4000", "3000", "4000"],
        "diagonal": "5000", "second_diagonal": "5000",
    })  # fmt: skip

    assert in_mm(found) == [(0, 0), (3000, 0), (3000, 4000), (0, 4000)]
    assert found.closing == ""
    assert found.steps[0].result == "5000\u00a0mm"


def test_a_second_diagonal_that_differs_is_said() -> None:
    found = outline(shape={
        "kind": "quadrilateral", "sides": ["3000", "4000", "3000", "4000"],
        "diagonal": "5000", "second_diagonal": "5012",
    })  # fmt: skip

    assert found.closing_error == mm(12)
    assert "12\u00a0mm apart" in found.closing


def test_an_out_of_square_room_keeps_its_four_sides() -> None:
    sides = ("3000", "2010", "2985", "2000")

    found = outline(shape={
        "kind": "quadrilateral", "sides": list(sides), "diagonal": "3600",
    })  # fmt: skip

    whole = sum((mm(side) for side in sides), start=NOTHING)
    assert abs((perimeter(found.ring) - whole).ticks) <= 2


def test_a_diagonal_that_cannot_be_is_refused() -> None:
    with pytest.raises(WrongSurface, match="measure it again"):
        outline(shape={
            "kind": "quadrilateral", "sides": ["3000", "4000", "3000", "4000"],
            "diagonal": "7000",
        })  # fmt: skip


def test_an_outline_that_crosses_itself_is_refused_by_name() -> None:
    with pytest.raises(BadShape, match="crosses or touches itself") as caught:
        outline(shape={
            "kind": "polygon",
            "points": [["0", "0"], ["9", "9"], ["9", "0"], ["0", "5"]],
        })  # fmt: skip

    assert caught.value.sentence.startswith("floor: ")


def test_a_polygon_given_clockwise_is_turned() -> None:
    found = outline(shape={
        "kind": "polygon", "points": [["0", "0"], ["0", "9"], ["9", "9"], ["9", "0"]],
    })  # fmt: skip

    assert in_mm(found) == [(0, 0), (9, 0), (9, 9), (0, 9)]


def test_a_wall_takes_its_width_from_the_floor_it_stands_on() -> None:
    wall = a_surface("wall", "wall", shape={
        "kind": "wall_of", "floor": "floor", "side": 1, "height": "2400",
    })  # fmt: skip
    visit = read_visit(a_bare_visit(wall, a_surface()))
    space = visit.spaces[0]

    found = measured_outline(space.surfaces[0], space=space, system="metric")

    assert in_mm(found)[2] == (2000, 2400)
    assert found.edges[0].meets == "floor"


@pytest.mark.parametrize(("floor", "side"), [("nowhere", 0), ("floor", 4), ("w", 0)])
def test_a_wall_on_a_floor_that_is_not_there_is_refused(floor: str, side: int) -> None:
    shape = {"kind": "wall_of", "floor": floor, "side": side, "height": "2400"}

    with pytest.raises(WrongSurface):
        outline(a_surface("other"), identity="w", role="wall", shape=shape)


def test_edges_must_match_the_sides() -> None:
    with pytest.raises(WrongSurface, match="4 sides and 3 edges"):
        outline(edges=["wall"] * 3)


OPENING = {"id": "o", "kind": "window", "width": "500", "height": "500"}


@pytest.mark.parametrize(
    ("left", "bottom"), [("2600", "0"), ("-1", "0"), ("0", "1501"), ("4000", "0")]
)
def test_an_opening_outside_its_wall_is_refused(left: str, bottom: str) -> None:
    with pytest.raises(WrongSurface, match="does not lie inside") as caught:
        outline(openings=[{**OPENING, "left": left, "bottom": bottom}])

    assert caught.value.field == "openings[0]"


def test_openings_that_overlap_are_refused() -> None:
    with pytest.raises(Refusal, match="overlap"):
        outline(
            openings=[
                {**OPENING, "left": "0", "bottom": "0"},
                {**OPENING, "id": "p", "left": "499", "bottom": "0"},
            ]
        )


def test_an_opening_may_touch_the_edge_as_a_door_does() -> None:
    opening = {**OPENING, "left": "0", "bottom": "0"}
    visit = read_visit(a_bare_visit(a_surface(openings=[opening])))
    surface = visit.spaces[0].surfaces[0]
    found = outline(openings=[opening])

    assert opening_ring(surface.openings[0], found.ring)[2] == (
        mm(500).ticks,
        mm(500).ticks,
    )


def test_the_largest_reading_governs_area_and_the_smallest_fit() -> None:
    found = outline(
        readings=[{"side": 0, "low": "2990", "middle": "3006", "plumb": "4"}]
    )

    assert in_mm(found)[1] == (3006, 0)
    assert "2990\u00a0mm for fit, 3006\u00a0mm for area" in found.steps[0].result
    assert found.steps[1].result == "4\u00a0mm"

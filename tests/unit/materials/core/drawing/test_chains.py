"""Which sizes are dimensioned, on which side, in which chain."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from materials.core.drawing.chains import Rows, dimension_rows, fit
from materials.core.drawing.records import Frame, Hole, Place, SurfaceDrawing
from materials.core.drawing.style import PRINT
from materials.core.lengths import INCH, MM, Length

METRIC = Frame(system="metric", width=390, height=350)


def box(left: int, bottom: int, width: int, height: int) -> tuple[Place, ...]:
    """Return a rectangle in millimetres."""
    x, y, right, top = (v * MM for v in (left, bottom, left + width, bottom + height))
    return ((x, y), (right, y), (right, top), (x, top))


WALL = SurfaceDrawing(name="w", sentence="Wall", outline=box(0, 0, 1500, 2400))


def lettered(rows: Rows) -> dict[str, list[list[str]]]:
    """Return the texts of the chains that are there."""
    return {
        side: [[measure.lettered for measure in row] for row in chains]
        for side, chains in rows.items()
        if chains
    }


def test_a_rectangle_is_dimensioned_once_across_and_once_up() -> None:
    assert lettered(dimension_rows(WALL, METRIC)) == {
        "bottom": [["1500"]],
        "left": [["2400"]],
    }


def test_opposite_sides_that_were_measured_differently_both_stand() -> None:
    read = replace(WALL, measured=(None, None, Length.mm(1503), None))

    assert lettered(dimension_rows(read, METRIC))["top"] == [["1503"]]


def test_sizes_of_an_opening_stand_nearest_and_the_side_outside() -> None:
    holed = replace(WALL, holes=(Hole(outline=box(400, 1000, 300, 500)),))

    rows = lettered(dimension_rows(holed, METRIC))

    assert rows["bottom"] == [["400", "300", "800"], ["1500"]]
    assert rows["right"] == [["1000", "500", "900"]]


def test_a_measured_length_stands_in_place_of_the_drawn_one() -> None:
    read = replace(WALL, measured=(Length.mm("1501.5"),))

    assert lettered(dimension_rows(read, METRIC))["bottom"] == [["1501.5"]]


def test_the_side_being_measured_is_marked() -> None:
    rows = dimension_rows(replace(WALL, now=3), METRIC)

    assert [measure.kind for measure in rows["left"][0]] == ["now"]


def test_steps_of_an_l_stand_in_one_chain_and_the_whole_on_the_other_side() -> None:
    ell = tuple(
        (x * MM, y * MM)
        for x, y in (
            (0, 0),
            (3000, 0),
            (3000, 1000),
            (1200, 1000),
            (1200, 2500),
            (0, 2500),
        )
    )

    rows = lettered(dimension_rows(replace(WALL, outline=ell), METRIC))

    assert rows["top"] == [["1200", "1800"]]
    assert rows["right"] == [["1000", "1500"]]
    assert rows["bottom"] == [["3000"]]
    assert rows["left"] == [["2500"]]


def test_a_side_behind_another_part_is_dimensioned_in_its_recess() -> None:
    you = tuple(
        (x * MM, y * MM)
        for x, y in (
            (0, 0), (2500, 0), (2500, 1500), (1700, 1500), (1700, 700), (600, 700),
            (600, 1500), (0, 1500),
        )
    )  # fmt: skip

    rows = dimension_rows(replace(WALL, outline=you), METRIC)

    assert sorted(m.lettered for m in rows[""][0]) == ["800", "800"]


def test_an_overall_length_stands_outside_where_no_side_says_it() -> None:
    leaning = ((0, 0), (1000 * MM, 0), (1200 * MM, 900 * MM), (200 * MM, 900 * MM))

    rows = lettered(dimension_rows(replace(WALL, outline=leaning), METRIC))

    assert rows["bottom"][-1] == ["1200"]


@given(
    st.integers(1, 20_000),
    st.integers(1, 20_000),
    st.integers(200, 900),
    st.integers(200, 900),
)
def test_a_surface_fits_its_frame_at_any_size(
    wide: int, high: int, width: int, height: int
) -> None:
    surface = replace(WALL, outline=box(0, 0, wide, high))
    frame = replace(METRIC, width=width, height=height)
    laid = fit(surface.outline, dimension_rows(surface, frame), frame)

    across, up = laid.scale.px(wide * MM), laid.scale.px(high * MM)
    assert laid.size[0] == width * 100
    assert laid.size[1] <= height * 100 + 1
    assert 0 < laid.scale.origin[0] < laid.scale.origin[0] + across <= laid.size[0]
    assert 0 < laid.scale.origin[1] - up < laid.scale.origin[1] <= laid.size[1]


def test_a_named_scale_decides_the_size_alone() -> None:
    frame = Frame(style=PRINT, system="imperial", ratio=32)
    surface = replace(WALL, outline=((0, 0), (64 * INCH, 0), (64 * INCH, 96 * INCH)))
    laid = fit(surface.outline, dimension_rows(surface, frame), frame)

    assert laid.scale.px(64 * INCH) == 2 * 96_00


def test_a_key_plan_gets_a_corner_of_its_own() -> None:
    frame = Frame(style=PRINT, system="metric", ratio=32)
    rows = dimension_rows(WALL, frame)
    plain = fit(WALL.outline, rows, frame)
    cornered = fit(WALL.outline, rows, frame, corner=True)

    assert cornered.size[0] - plain.size[0] >= 66_00

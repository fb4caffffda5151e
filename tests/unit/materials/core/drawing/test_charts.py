"""Money and time by the means of a drawing."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.core.drawing.charts import (
    Course,
    Mark,
    Share,
    Spread,
    draw_course,
    draw_shares,
    draw_spread,
)
from materials.core.drawing.records import Frame
from materials.core.drawing.style import PRINT
from materials.core.errors import BadShape

FRAME = Frame(width=358, height=200)
SVG = "{http://www.w3.org/2000/svg}"
AXIS = tuple(Mark(value=value, word=f"{value:,}") for value in (4000, 5000, 6000))


def widths(svg: str) -> list[float]:
    """Return the widths of the bar's parts."""
    root = ElementTree.fromstring(svg)
    found = []
    for polygon in root.iter(f"{SVG}polygon"):
        xs = [float(pair.split(",")[0]) for pair in str(polygon.get("points")).split()]
        found.append(max(xs) - min(xs))
    return found


@given(st.lists(st.integers(0, 10**9), min_size=1, max_size=8).filter(any))
def test_the_parts_of_a_bar_are_in_proportion_and_fill_it(values: list[int]) -> None:
    shares = tuple(Share(value=value, figure="1", word="w") for value in values)
    found = widths(draw_shares("s", "Shares", shares, FRAME))

    assert sum(found) == pytest.approx(346, abs=0.01)
    for value, width in zip(values, found, strict=True):
        assert width == pytest.approx(346 * value / sum(values), abs=0.02)


def test_a_sum_of_nothing_or_a_part_below_it_is_refused() -> None:
    for value in (0, -1):
        with pytest.raises(BadShape, match="parts"):
            draw_shares("s", "s", (Share(value=value, figure="", word=""),), FRAME)


def test_a_share_is_hatched_by_its_kind() -> None:
    shares = (
        Share(value=2, figure="2.00", word="In the floor"),
        Share(value=1, figure="1.00", word="Thrown away", kind="waste"),
    )

    svg = draw_shares("s", "s", shares, FRAME)

    assert svg.count("url(#s-waste)") == 1
    assert ">Thrown away<" in svg


def test_a_range_marks_its_values_where_they_lie_on_the_tape() -> None:
    spread = Spread(
        name="r",
        sentence="Cost",
        low=4200,
        high=4800,
        marks=(Mark(value=4000, word="least"), Mark(value=5000, word="half")),
        axis=AXIS,
    )

    svg = draw_spread(spread, FRAME)

    marks = re.findall(r'class="o" d="M([\d.]+) [\d.]+L([\d.]+)', svg)
    assert marks == [("8", "8"), ("179", "179")]


def test_words_of_close_values_stand_on_rows_of_their_own() -> None:
    spread = Spread(
        name="r",
        sentence="Cost",
        low=4200,
        high=4800,
        marks=(
            Mark(value=4400, word="half 4,400"),
            Mark(value=4450, word="80 % 4,450"),
        ),
        axis=AXIS,
    )

    svg = draw_spread(spread, FRAME)

    feet = re.findall(r'y="([\d.]+)" text-anchor="middle">(?:half|80)', svg)
    assert len(set(feet)) == 2


def test_a_course_is_dashed_as_quoted_solid_as_it_went_hatched_ahead() -> None:
    course = Course(
        name="c",
        sentence="Cost by day",
        quoted=(0, 100, 200, 300),
        actual=(0, 120, 210),
        days=(Mark(value=0, word="Monday"),),
        axis=(Mark(value=0, word="0"), Mark(value=400, word="400")),
        quoted_word="quoted 300",
        actual_word="actual 210",
        forecast=(300, 340),
        ceiling=Mark(value=320, word="80 in 100"),
    )

    svg = draw_course(course, FRAME)

    assert svg.count('class="hid"') == 1
    assert svg.count('class="o"') == 1
    assert "url(#c-cut)" in svg
    assert ">actual 210<" in svg
    assert "url(#" not in draw_course(course, Frame(style=PRINT, width=300, height=180))


def test_a_course_of_one_day_is_refused() -> None:
    course = Course(
        name="c", sentence="", quoted=(1,), actual=(), days=(), axis=AXIS,
        quoted_word="", actual_word="",
    )  # fmt: skip
    with pytest.raises(BadShape, match="two days"):
        draw_course(course, FRAME)

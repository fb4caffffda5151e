"""The signs of a drawing."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.core.drawing.pen import Sheet
from materials.core.drawing.style import PRINT, SCREEN, Style
from materials.core.drawing.symbols import (
    KeyPlan,
    Scale,
    draw_chalk_line,
    draw_crossed,
    draw_fall,
    draw_height,
    draw_key_plan,
    draw_leader,
    draw_linear_drain,
    draw_point_drain,
    draw_scale_bar,
)
from materials.core.lengths import INCH, MM


def sheet(style: Style = SCREEN) -> Sheet:
    """Return an empty sheet."""
    return Sheet(name="s", size=(400_00, 400_00), sentence="s", style=style)


def scale(px_hundredths: int, ticks: int) -> Scale:
    """Return a scale with its origin at the sheet's lower left."""
    return Scale(numerator=px_hundredths, denominator=ticks, origin=(0, 400_00))


def test_a_scale_turns_up_into_down() -> None:
    found = scale(2_00, INCH)

    assert found.at(3 * INCH, 10 * INCH) == (6_00, 380_00)


@given(st.integers(1, 9_000), st.integers(0, 10**9))
def test_a_scale_is_true_to_half_a_hundredth(hundredths: int, ticks: int) -> None:
    found = scale(hundredths, INCH)

    assert abs(2 * (found.px(ticks) * INCH - ticks * hundredths)) <= INCH


def test_a_four_sided_opening_is_crossed_and_another_is_not() -> None:
    crossed, plain = sheet(), sheet()
    draw_crossed(crossed, ((0, 0), (10_00, 0), (10_00, 10_00), (0, 10_00)))
    draw_crossed(plain, ((0, 0), (10_00, 0), (5_00, 10_00)))

    assert 'class="f"' in crossed.svg()
    assert 'class="f"' not in plain.svg()


@pytest.mark.parametrize(
    ("system", "px", "ticks", "word"),
    [
        ("imperial", 2_00, INCH, "4′"),
        ("imperial", 30_00, INCH, "6″"),
        ("metric", 10, MM, "500 mm"),
        ("metric", 2, MM, "2 m"),
    ],
)
def test_a_scale_bar_is_the_longest_usual_one_that_fits(
    system: str, px: int, ticks: int, word: str
) -> None:
    one = sheet()
    draw_scale_bar(one, scale(px, ticks), (300_00, 300_00), system)

    assert f">{word}</text>" in one.svg()


def test_a_scale_bar_is_as_long_as_it_says() -> None:
    one = sheet()
    draw_scale_bar(one, scale(2_00, INCH), (300_00, 300_00), "imperial")

    line = re.search(r'class="e" d="M([\d.]+) 300L([\d.]+) 300"', one.svg())
    assert line is not None
    assert int(line[2]) - int(line[1]) == 48 * 2


def test_drains_falls_leaders_and_chalk_lines_are_drawn_in_their_own_lines() -> None:
    one = sheet()
    draw_point_drain(one, (50_00, 50_00), 8_00)
    draw_linear_drain(one, (0, 0), (100_00, 0), 8_00)
    draw_fall(one, (0, 0), (50_00, 0), "1 : 48")
    draw_leader(one, (10_00, 10_00), (60_00, 10_00), "K1")
    draw_chalk_line(one, (0, 0), (0, 100_00))

    svg = one.svg()
    assert svg.count("<circle") == 3
    assert '<polygon class="solid"' in svg
    assert 'class="cl"' in svg
    assert ">1 : 48<" in svg
    assert ">K1<" in svg


def test_a_height_stands_on_its_point_and_lies_on_paper_in_print() -> None:
    screen, paper = sheet(), sheet(PRINT)
    for one in (screen, paper):
        draw_height(one, (50_00, 50_00), "1⅜″")

    assert 'points="50,50 46,43 54,43"' in screen.svg()
    assert '<polygon class="disc"' not in screen.svg()
    assert '<polygon class="disc"' in paper.svg()


def test_a_key_plan_draws_one_wall_heavy_and_its_open_side_dashed() -> None:
    one = sheet()
    plan = KeyPlan(
        outline=((0, 0), (200, 0), (200, 100), (0, 100)),
        heavy=2,
        open_sides=(0,),
        letters=("", "C", "B", "A"),
    )
    draw_key_plan(one, plan, (10_00, 10_00), 46_00)

    svg = one.svg()
    assert svg.count('class="o"') == 1
    assert svg.count('class="hid"') == 1
    assert re.search(r'class="tl"[^>]*>B<', svg)

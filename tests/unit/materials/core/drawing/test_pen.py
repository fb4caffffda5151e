"""The sheet to draw on: numbers, directions, hatches inside their outline."""

from __future__ import annotations

from xml.etree import ElementTree

from hypothesis import given
from hypothesis import strategies as st

from materials.core.drawing.pen import (
    CUT,
    HATCHES,
    UNIT,
    Sheet,
    direction,
    distance,
    hatch_dots,
    hatch_lines,
    number,
    part,
)
from materials.core.drawing.style import PRINT, SCREEN, Style

SQUARE = ((0, 0), (10_000, 0), (10_000, 10_000), (0, 10_000))
HOLE = ((4_000, 4_000), (6_000, 4_000), (6_000, 6_000), (4_000, 6_000))


def sheet(style: Style = SCREEN) -> Sheet:
    """Return an empty sheet."""
    return Sheet(name="s", size=(200_00, 100_00), sentence="A & B", style=style)


def test_hundredths_are_written_as_short_as_can_be() -> None:
    written = [number(value) for value in (0, 5, -5, 100, 1250, -12345)]

    assert written == ["0", ".05", "-.05", "1", "12.5", "-123.45"]


@given(st.integers(-10_000, 10_000), st.integers(-50, 50), st.integers(1, 99))
def test_a_part_is_the_nearest_whole_with_halves_up(v: int, n: int, d: int) -> None:
    found = part(v, n, d)

    assert -d < 2 * (v * n - found * d) + 1 <= d + 1


def test_a_direction_is_a_unit_vector_and_never_divides_by_nothing() -> None:
    assert direction((0, 0), (300, 400)) == (UNIT * 3 // 5, UNIT * 4 // 5)
    assert direction((7, 7), (7, 7)) == (UNIT, 0)
    assert distance((0, 0), (300, 400)) == 500


def test_a_level_hatch_fills_a_square_and_leaves_its_hole() -> None:
    runs = hatch_lines([SQUARE, HOLE], 1_000, 0)

    across_the_hole = [run for run in runs if run[0][1] == 5_000]
    assert across_the_hole == [
        ((0, 5_000), (4_000, 5_000)),
        ((6_000, 5_000), (10_000, 5_000)),
    ]


def test_a_rising_hatch_of_neighbours_joins_up() -> None:
    left = ((0, 0), (5_000, 0), (5_000, 10_000), (0, 10_000))
    right = ((5_000, 0), (10_000, 0), (10_000, 10_000), (5_000, 10_000))

    whole = {run[0][0] + run[0][1] for run in hatch_lines([SQUARE], 700, 1)}
    apart = {run[0][0] + run[0][1] for run in hatch_lines([left], 700, 1)}
    apart |= {run[0][0] + run[0][1] for run in hatch_lines([right], 700, 1)}

    assert apart == whole


@given(
    st.lists(
        st.tuples(st.integers(0, 9_999), st.integers(0, 9_999)),
        min_size=3,
        max_size=9,
    ),
    st.sampled_from([1, -1, 0]),
)
def test_a_hatch_never_leaves_the_outline_of_its_points(
    ring: list[tuple[int, int]], way: int
) -> None:
    for run in hatch_lines([tuple(ring)], 500, way):
        for x, y in run:
            assert min(p[0] for p in ring) <= x <= max(p[0] for p in ring)
            assert min(p[1] for p in ring) <= y <= max(p[1] for p in ring)


def test_dots_lie_inside_and_stand_in_quincunx() -> None:
    dots = hatch_dots([SQUARE], 1_000)

    assert {x % 1_000 for x, _ in dots} == {0, 500}
    assert all(0 <= x < 10_000 and 0 <= y < 10_000 for x, y in dots)


def test_a_hatch_is_a_pattern_on_screen_and_lines_in_print() -> None:
    screen, paper = sheet(), sheet(PRINT)
    for one in (screen, paper):
        one.hatch(CUT, [SQUARE])

    assert 'fill="url(#s-cut)"' in screen.svg()
    assert '<pattern id="s-cut"' in screen.svg()
    assert "pattern" not in paper.svg()
    assert '<path class="h1"' in paper.svg()


def test_every_hatch_can_be_drawn_in_both_styles() -> None:
    for style in (SCREEN, PRINT):
        for kind in HATCHES:
            one = sheet(style)
            one.hatch(kind, [SQUARE])
            assert len(one.svg()) > len(sheet(style).svg()), kind


def test_a_drawing_says_what_it_shows_to_those_who_cannot_see_it() -> None:
    root = ElementTree.fromstring(sheet().svg())

    assert root.get("role") == "img"
    assert root.get("aria-label") == "A & B"
    assert root.get("viewBox") == "0 0 200 100"


def test_only_a_printed_drawing_carries_a_style() -> None:
    assert "<style>" not in sheet().svg()
    assert "<style>" in sheet(PRINT).svg()
    assert " style=" not in sheet(PRINT).svg()

"""Ways to divide a wall cover it and keep to the rules."""

from __future__ import annotations

from itertools import combinations

import pytest

from materials.core.cutting.seams import (
    SeamRules,
    Wall,
    board_width,
    layouts,
    naive_layout,
)

SHEET = (48, 96)


@pytest.mark.parametrize("size", [(30, 90), (100, 90), (100, 130), (60, 100)])
def test_every_way_covers_the_wall_without_overlap(size: tuple[int, int]) -> None:
    wall = Wall(name="w", width=size[0], height=size[1])

    for way in layouts(wall, SHEET, SeamRules()):
        assert sum(w * h for _x, _y, w, h in way) == size[0] * size[1]
        for (a, b, c, d), (e, f, g, h) in combinations(way, 2):
            assert a + c <= e or e + g <= a or b + d <= f or f + h <= b


def test_no_seam_runs_through_a_niche() -> None:
    wall = Wall(name="w", width=90, height=90, whole=((40, 40, 12, 20),))

    for way in layouts(wall, SHEET, SeamRules()):
        assert any(
            x <= 40 and y <= 40 and x + w >= 52 and y + h >= 60 for x, y, w, h in way
        )
    assert naive_layout(wall, SHEET) not in layouts(wall, SHEET, SeamRules())


def test_seams_keep_to_the_studs() -> None:
    wall = Wall(name="w", width=90, height=90, studs=(16, 32, 48, 64, 80))
    rules = SeamRules(on_studs=True)

    found = layouts(wall, SHEET, rules)

    assert found
    assert {box[0] for way in found for box in way} <= {0, 16, 32, 48, 64, 80}


def test_narrow_large_and_crossing_panels_are_left_out() -> None:
    wall = Wall(name="w", width=100, height=130)
    rules = SeamRules(least=12, most=(40, 80), stagger=True)

    for way in layouts(wall, SHEET, rules):
        assert all(min(box[2:]) >= 12 for box in way)
        assert all(min(box[2:]) <= 40 and max(box[2:]) <= 80 for box in way)


def test_a_board_that_butts_is_shorter_by_the_other_s_thickness() -> None:
    assert board_width(60, thickness=2, butts_left=True, butts_right=False) == 58

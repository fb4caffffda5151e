"""Seams between boards and folds across them, as lengths and lines."""

from __future__ import annotations

from materials.core.plans.seams import fold_lines, seam_runs


def test_boards_in_a_grid_have_straight_seams_counted_once() -> None:
    grid = [(x, y, 10, 20) for x in (0, 10, 20) for y in (0, 20)]

    assert seam_runs(grid) == [40, 40, 30]


def test_one_board_and_boards_that_only_touch_at_a_corner_have_no_seam() -> None:
    assert seam_runs([(0, 0, 10, 20)]) == []
    assert seam_runs([(0, 0, 10, 10), (10, 10, 10, 10)]) == []


def test_a_seam_with_a_gap_is_two_runs() -> None:
    left = [(0, 0, 10, 50)]
    right = [(10, 0, 5, 10), (10, 30, 5, 20)]

    assert seam_runs(left + right) == [10, 20]


def test_a_board_is_folded_into_parts_that_come_in() -> None:
    assert fold_lines((0, 0, 1200, 2400), 1200) == []
    assert fold_lines((5, 7, 1200, 2400), 500) == [
        ((405, 7), (405, 2407)),
        ((805, 7), (805, 2407)),
    ]
    assert fold_lines((0, 0, 2400, 1200), 700) == [((0, 600), (2400, 600))]

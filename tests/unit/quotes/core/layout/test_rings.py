"""Outlines as rows: grouped, and tidy."""

from __future__ import annotations

import numpy as np

from quotes.core.layout.rings import alike, packed, tidied, tidied_rings

SQUARE = [[0, 0], [9, 0], [9, 9], [0, 9]]
TURNED = [[9, 9], [0, 9], [0, 0], [9, 0]]


def test_a_ring_keeps_one_of_two_corners_a_tick_apart() -> None:
    triangle = [(0, 0), (9000, 0), (9000, 1), (0, 5000)]
    spiked = [(0, 0), (9000, 0), (9000, 4000), (20_000, 4000), (9000, 4001), (0, 5000)]

    assert tidied(triangle) == ((0, 0), (9000, 1), (0, 5000))
    assert tidied(spiked) == ((0, 0), (9000, 0), (9000, 4001), (0, 5000))
    assert tidied([(0, 0), (9000, 0), (5000, 1)]) == ()


def test_rows_are_tidied_like_rings_one_by_one() -> None:
    rows = np.array(
        [
            [[900, 0], [900, 0], [900, 700], [0, 700], [0, 0], [0, 0]],
            [[0, 0], [900, 0], [900, 1], [0, 500], [0, 0], [0, 0]],
            [[0, 0], [450, 0], [900, 0], [900, 700], [0, 700], [0, 700]],
            [[0, 0], [900, 0], [500, 1], [0, 0], [0, 0], [0, 0]],
            [[5, 5], [5, 5], [5, 5], [5, 5], [5, 5], [5, 5]],
        ]
    )

    assert tidied_rings(rows) == [
        tidied([(x, y) for x, y in row]) for row in rows.tolist()
    ]
    assert tidied_rings(rows)[0] == ((0, 0), (900, 0), (900, 700), (0, 700))
    assert tidied_rings(rows)[-2:] == [(), ()]


def test_rows_of_one_item_outline_and_hole_are_alike() -> None:
    corners = np.array([SQUARE, TURNED, SQUARE, SQUARE, SQUARE])
    item, holes = np.array([0, 0, 1, 0, 0]), np.array([0, 0, 0, 7, 0])

    groups, leads = alike(item, holes, corners)

    assert sorted(group.tolist() for group in groups) == [[0, 4], [1], [2], [3]]
    assert leads.tolist() == [group[0] for group in groups]


def test_short_outlines_repeat_their_last_corner() -> None:
    rows = packed([np.array([[0.0, 0], [9, 0], [9, 9]]), np.array(SQUARE, dtype=float)])

    assert rows[0].tolist() == [[0, 0], [9, 0], [9, 9], [9, 9]]
    assert packed([]).shape == (0, 3, 2)

"""Screws a board and flatness under large tile, as printed."""

from __future__ import annotations

import pytest

from materials.core.kinds.fixing import grid_count
from materials.core.lengths import NOTHING, Length
from quotes.core.clashes import FLAT_OVER, FLAT_WITHIN, LARGE_TILE
from tests.published.source_files import load

SCREWS = load("board_screws")
FLATNESS = load("ansi_a108_flatness")


def screws(row: dict[str, str]) -> int:
    """Return the fixings of a printed board by the project's grid."""
    return grid_count(
        Length.inch(row["width"]),
        Length.inch(row["length"]),
        Length.inch(row["spacing"]),
        NOTHING,
    )


@pytest.mark.parametrize("case", SCREWS["case"], ids=lambda case: case["id"])
def test_a_grid_gives_the_screws_printed(case: dict[str, str]) -> None:
    assert screws(case) == int(case["screws"])


@pytest.mark.parametrize("row", SCREWS["deviation"], ids=lambda row: row["id"])
def test_the_deviation_is_as_small_as_it_says(row: dict[str, str]) -> None:
    assert screws(row) == int(row["ours"]) != int(row["screws"])


@pytest.mark.parametrize("case", FLATNESS["case"], ids=lambda case: case["id"])
def test_the_flatness_asked_for_is_the_one_printed(case: dict[str, str]) -> None:
    assert Length.inch(case["side"]) == LARGE_TILE
    assert Length.inch(case["within"]) == FLAT_WITHIN
    assert Length.inch(case["over"]) == FLAT_OVER

"""The cutting file: exact numbers in, a sentence for what is wrong."""

from __future__ import annotations

import json
from typing import Any

import pytest

from materials.core.cutting.cut_file import read_job
from materials.core.errors import Refusal
from tests.cutting_replay import DEEP, planned

JOB: dict[str, Any] = {
    "unit": "in",
    "stock": [{"name": "s", "width": 96, "height": 48}],
    "pieces": [{"name": "a", "width": "9.6", "height": 48, "count": 10}],
}


def test_ten_times_nine_point_six_is_ninety_six() -> None:
    assert planned(JOB)["used"] == 1


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"unit": "cm"}, "unit"),
        ({"kerf": "-1"}, "kerf"),
        ({"stock": []}, "stock"),
        ({"typo": 1}, "typo"),
        (
            {"pieces": [{"name": "a", "width": 1, "height": 1, "count": 0}]},
            "pieces[0].count",
        ),
        ({"pieces": [{"name": "a", "width": "1 in", "height": 1}]}, "pieces[0].width"),
        ({"pieces": [{"name": "a", "width": 1}]}, "pieces[0].height"),
        (
            {"stock": [{"name": "s", "width": 9, "height": 9, "price": "1.234"}]},
            "stock[0].price",
        ),
    ],
)
def test_what_is_wrong_is_named(change: dict[str, Any], field: str) -> None:
    with pytest.raises(Refusal) as caught:
        read_job(json.dumps({**JOB, **change}))

    assert caught.value.field == field


@pytest.mark.parametrize("text", ["", "[]", "{", '{"unit": NaN}', '{"a": 1, "a": 2}'])
def test_what_is_no_job_is_refused(text: str) -> None:
    with pytest.raises(Refusal):
        read_job(text)


@pytest.mark.parametrize(
    ("stock", "pieces"),
    [
        ([(7, 5, 2)], [(2, 2, 2, True), (6, 2, 1, False)]),
        ([(6, 5, None)], [(3, 2, 1, True), (3, 2, 1, True), (3, 4, 2, True)]),
    ],
    ids=["a bed refilled", "dust beside the first cut"],
)
def test_dust_beside_a_piece_does_not_make_a_strip_too_narrow_to_snap(
    stock: list[tuple[int, int, int | None]],
    pieces: list[tuple[int, int, int, bool]],
) -> None:
    job = {
        "unit": "mm",
        "kerf": 1,
        "snap": 2,
        "leftover": [2, 3],
        "stock": [
            {"name": f"s{at}", "width": a, "height": b, "price": "3", "count": n}
            for at, (a, b, n) in enumerate(stock)
        ],
        "pieces": [
            {"name": f"p{at}", "width": a, "height": b, "count": n, "turn": turn}
            for at, (a, b, n, turn) in enumerate(pieces)
        ],
    }

    planned(job)
    planned(job, DEEP)


def test_sheets_are_not_claimed_for_limited_stock_that_is_not_proven() -> None:
    job = {
        "unit": "in",
        "snap": 2,
        "stock": [{"name": "s", "width": 5, "height": 6, "price": "3", "count": 2}],
        "pieces": [
            {"name": "p0", "width": 3, "height": 5},
            {"name": "p1", "width": 2, "height": 2},
        ],
    }

    told = planned(job)

    assert not told["proven"]
    assert told["lower_bound"]["sheets"] is None

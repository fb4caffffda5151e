"""The cutting file: exact numbers in, a sentence for what is wrong."""

from __future__ import annotations

import json
from typing import Any

import pytest

from materials.core.cutting.cut_file import read_job
from materials.core.errors import Refusal
from tests.cutting_replay import planned

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

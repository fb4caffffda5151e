from __future__ import annotations

import json
from fractions import Fraction
from typing import Any

from materials.core.cutting.pan_answer import answer, answer_text, slope_text, summary
from materials.core.cutting.pan_file import read_job
from tests.unit.materials.core.cutting.test_pan_file import JOB

FLAT = {
    **JOB,
    "flat": [[[0, 24], [38, 24], [38, 35], [0, 35]]],
    "boards": [{"name": "Flat 2", "width": 48, "depth": 24, "thick": 2, "price": 58}],
    "mortar": {"price": "0.05", "least": 1, "bag": 600},
}


def told(data: dict[str, Any]) -> dict[str, Any]:
    job = read_job(json.dumps(data))
    return json.loads(answer_text(answer(job, job.fit())))


def test_one_pan_is_told_in_the_file_s_unit() -> None:
    way = told(JOB)["ways"][0]

    assert (way["kind"], way["cost"], way["slope"]) == ("one_pan", "386.40", "1/36")
    piece = way["pieces"][0]
    assert (piece["pan"], piece["turn"], piece["at"]) == ("Dell 46", 0, ["0", "-4"])
    assert piece["keep"] == [["0", "0"], ["38", "0"], ["38", "35"], ["0", "35"]]
    assert piece["keep_on_pan"][0] == ["0", "4"]
    assert piece["slice"] == ["0", "35"]
    assert (way["used_area"], way["trimmed_area"]) == ("1330", "970")
    assert way["trimmed_money"] == "162.96"
    assert way["labour"] == "set_pan"
    assert [one["height"] for one in way["heights"]] == [
        "0.8333",
        "0.8333",
        "1.8056",
        "1.8056",
        "0.8333",
        "0.8333",
    ]


def test_boards_and_beds_are_told() -> None:
    ways = {way["kind"]: way for way in told(FLAT)["ways"]}

    assert ways["pan_and_board"]["boards"] == [
        {
            "board": "Flat 2",
            "count": 1,
            "outline": [["0", "24"], ["38", "24"], ["38", "35"], ["0", "35"]],
            "area": "418",
            "cost": "58.00",
        }
    ]
    assert ways["pan_and_board"]["steps"][0]["step"] == ["0", "0"]
    bed = ways["mortar"]["mortar"]
    assert (bed["volume"], bed["volume_exact"], bed["bags"]) == ("1140", "1140", 2)
    assert ways["mortar"]["heights"][2]["height"] is None


def test_refusals_name_pan_turn_and_reason() -> None:
    refused = told({**JOB, "slope": {"min": "1/20", "max": "1/10"}})["refused"]

    assert {(one["pan"], one["turn"]) for one in refused} >= {
        ("Dell 46", 0),
        ("Dell 46", 90),
        ("Dell 46", 180),
        ("Dell 46", 270),
    }
    assert all(one["reason"].endswith(".") for one in refused)


def test_the_rule_is_told_with_its_source_when_it_is_the_default() -> None:
    assert told(JOB)["rule"] == {
        "min": "1/48",
        "max": "1/24",
        "run": "wall",
        "source": None,
    }
    default = {key: value for key, value in JOB.items() if key != "slope"}
    assert "P2709.1" in told(default)["rule"]["source"]


def test_the_order_is_by_cost() -> None:
    costs = [Fraction(way["cost"]) for way in told(FLAT)["ways"]]

    assert costs == sorted(costs)


def test_a_slope_is_a_fraction_or_nine_decimals() -> None:
    assert slope_text(Fraction(5, 156)) == "5/156"
    assert slope_text(Fraction(10**20, 3 * 10**21 + 7)) == "0.033333333"


def test_the_summary_reads_from_the_cheapest_down() -> None:
    job = read_job(json.dumps(FLAT))

    text = summary(job, job.fit())

    assert text.startswith("1. Mortar: mortar bed, 57.00")
    assert "2. Pan and board: Dell 46 + Flat 2, 444.40" in text
    assert "To the farthest corner 2.78 % (1 in 36)." in text
    assert "left at corner 2, corner 3" in text
    assert "falls along the drain side. (turned 90°)" in text


def test_nothing_that_does_is_said() -> None:
    job = read_job(json.dumps({**JOB, "pans": []}))

    assert summary(job, job.fit()) == "Nothing does; the reasons follow."

"""What is written back: by the schema, byte for byte, and the same from its origin."""

from __future__ import annotations

import json
from fractions import Fraction
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from quotes.core.layout.answer import answer, summary
from quotes.core.layout.file import read_file, tallies_of
from quotes.core.layout.schema import ANSWER_SCHEMA

ROOM: dict[str, Any] = {
    "unit": "in",
    "surfaces": [
        {
            "outer": [[0, 0], ["60 1/2", 0], ["60 1/2", 96], [0, 96]],
            "holes": [[[12, 40], [26, 40], [26, 66], [12, 66]]],
        },
        {"outer": [[0, 0], [36, 0], [36, 40], [0, 40]]},
    ],
    "tile": {"length": 12, "width": 6},
    "joint": "1/8",
    "pattern": {"name": "running_bond", "offset": "1/2"},
    "origin": "symmetrical",
    "kerf": "1/16",
}


def answered(document: dict[str, Any]) -> Any:
    file = read_file(json.dumps(document))
    return json.loads(json.dumps(answer(file, tallies_of(file))[0]))


def test_an_answer_keeps_to_its_schema() -> None:
    Draft202012Validator(ANSWER_SCHEMA).validate(answered(ROOM))


@pytest.mark.parametrize("aim", ["symmetrical", "fewest_cuts"])
def test_the_printed_origins_give_the_same_file(aim: str) -> None:
    found = answered({**ROOM, "origin": aim})
    surfaces = [
        {**surface, "origin": origin}
        for surface, origin in zip(ROOM["surfaces"], found["origin"], strict=True)
    ]

    assert answered({**ROOM, "surfaces": surfaces}) == found


def test_figures_agree_with_each_other() -> None:
    found = answered(ROOM)
    tiles = found["tiles"]

    assert tiles["no_reuse"] == found["full"] + found["cut"]
    assert len(found["plan"]) == tiles["strict"] - found["full"]
    assert sum(len(tile["pieces"]) for tile in found["plan"]) == sum(
        piece["count"] for piece in found["pieces"]
    )
    areas = [Fraction(piece["area"]) for piece in found["pieces"]]
    assert areas == sorted(areas, reverse=True)
    bought = tiles["strict"] * 72
    area = Fraction(121, 2) * 96 - 14 * 26 + 36 * 40
    assert abs(Fraction(found["waste"]) - (bought - area) / area) < Fraction(1, 10**6)


def test_a_room_that_fits_has_no_smallest_cut() -> None:
    found = answered(
        {
            **ROOM,
            "surfaces": [{"outer": [[0, 0], [24, 0], [24, 12], [0, 12]]}],
            "joint": 0,
            "pattern": {"name": "stack"},
            "origin": [0, 0],
        }
    )

    assert (found["full"], found["cut"], found["smallest_cut"]) == (4, 0, None)
    assert (found["joint_area"], found["joint_length"]) == ("0", "0")


def test_the_summary_says_what_to_buy_and_how_sure_it_is() -> None:
    file = read_file(json.dumps(ROOM))
    found, plan = answer(file, tallies_of(file))

    text = summary(file, found, plan)

    assert f"Buy {plan.strict}" in text
    assert "no plan needs fewer" in text or "by proof" in text

"""A visit written back is the visit that was read, and keeps to the published form."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from quotes.core.visit_file import parse_visit, read_visit
from quotes.core.visit_writer import written_visit
from tests.builders import a_bare_visit, a_hall, a_kitchen_wall, a_shower, a_surface

SCHEMA = json.loads(
    (Path(__file__).parents[4] / "quotes/core/visit_schema.json").read_text("utf-8")
)


def everything() -> dict[str, Any]:
    """Return a visit in which every field says something."""
    surface = a_surface(
        role="recess",
        measured_to="board",
        exposure="wet",
        use="ramp",
        times=2,
        edges=["wall", "fold", {"kind": "wall", "meets": "b", "runs": "to"}, "wall"],
        openings=[
            {
                "id": "n",
                "kind": "niche",
                "name": "niche",
                "left": "100",
                "bottom": "-5 + 105",
                "width": "300",
                "height": "400",
                "depth": "90",
                "trim": True,
                "times": 2,
            }
        ],
        regions=[
            {
                "id": "r",
                "kind": "border",
                "width": "100",
                "corners": "butted",
                "joint": "trim",
                "pattern": {
                    "name": "running_bond",
                    "offset": "1/3",
                    "origin": ["0", "5"],
                },
            }
        ],
        readings=[{"side": 1, "low": "1999", "middle": "2000", "high": "2001"}],
        heights=[{"x": "1", "y": "2", "height": "-3"}],
        drain={"kind": "point", "at": ["900", "900"]},
        flat=[[["0", "0"], ["10", "0"], ["10", "10"]]],
        slope={"min": "1/80", "max": "1/50"},
        lowest="20",
        steps=3,
        notes="as found",
    )
    surface["openings"][0]["bottom"] = "100"
    return a_bare_visit(
        client={"name": "A", "nature": "business", "country": "GB"},
        site={"address": "1 Row", "storey": 3, "asbestos_test": "clear", "built": 1960},
        spaces=[
            {
                "id": "room",
                "name": "Room",
                "times": 4,
                "surfaces": [surface],
                "exceptions": [{"surface": "floor", "missing": 1, "note": "stairs"}],
            }
        ],
        labour=[{"operation": "x", "quantity": "1/3", "place": "Room", "factor": "2"}],
        hand_lines=[
            {"text": "T", "unit_cost": "1.2345", "unit_price": "2", "unit": "m"}
        ],
        overrules=[{"line": "l", "what": "cost", "value": "3", "reason": "so"}],
        allowances=[{"nature": "provisional_sum", "text": "P", "amount": "9"}],
        rates={
            "setter_wage": "40",
            "helper_wage": "0",
            "round_to": "5",
            "taxed_classes": ["materials"],
            "outputs": [{"operation": "x", "hours": "0.25"}],
        },
        terms={
            "text": "Terms.",
            "stages": [{"label": "all", "share": "1"}],
            "exclusions": ["No glass."],
        },
    )


@pytest.mark.parametrize(
    "build", [a_shower, a_hall, a_kitchen_wall, a_bare_visit, everything]
)
def test_what_is_written_reads_back_to_the_same_visit(build: Any) -> None:
    visit = read_visit(build())

    document = written_visit(visit)

    jsonschema.Draft202012Validator(SCHEMA).validate(document)
    assert read_visit(document) == visit
    assert parse_visit(json.dumps(document)) == visit


def test_lengths_are_written_as_they_were_typed() -> None:
    document = written_visit(read_visit(a_hall()))

    shape = document["spaces"][0]["surfaces"][0]["shape"]  # type: ignore[index]
    assert shape["width"] == "4.86 m"


def test_writing_twice_gives_the_same_text() -> None:
    once = written_visit(read_visit(everything()))

    assert json.dumps(once) == json.dumps(written_visit(read_visit(once)))

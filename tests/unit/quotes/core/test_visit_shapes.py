"""Outlines of the visit file: every kind is read, what is missing is named."""

from __future__ import annotations

from typing import Any

import pytest

from materials.core.errors import Refusal
from materials.core.lengths import Length
from quotes.core.file_node import FileRules, Node
from quotes.core.visit import Shape
from quotes.core.visit_shapes import read_shape

LIMIT = Length.mm(60_000)


def read(document: dict[str, Any]) -> Shape:
    rules = FileRules(system="metric", currency="GBP")
    return read_shape(Node.of(document, "shape", rules), LIMIT)


GOOD: list[dict[str, Any]] = [
    {"kind": "rectangle", "width": "3000", "height": "2000"},
    {
        "kind": "l",
        "width": "3000",
        "height": "2000",
        "cut_width": "900",
        "cut_height": "800",
        "corner": "lower_left",
    },
    {
        "kind": "u",
        "width": "3000",
        "height": "2000",
        "cut_left": "900",
        "cut_width": "800",
        "cut_height": "700",
    },
    {"kind": "run", "sides": ["3000", "2000", "3000"], "corners": ["90", "90°"]},
    {"kind": "polygon", "points": [["0", "0"], ["3000", "0"], ["0", "-2000"]]},
    {"kind": "quadrilateral", "sides": ["3", "4", "3", "4"], "diagonal": "5"},
    {"kind": "wall_of", "floor": "floor", "side": 2, "height": "2400"},
    {
        "kind": "stairs",
        "rises": ["180", "178"],
        "width": "1000",
        "going": "280",
        "bottom": "0",
        "landing": "0",
        "tile": "10",
        "bed": "5",
        "riser": "14",
    },
]


@pytest.mark.parametrize("document", GOOD, ids=lambda document: document["kind"])
def test_every_kind_of_outline_is_read(document: dict[str, Any]) -> None:
    assert read(document).kind == document["kind"]


@pytest.mark.parametrize("document", GOOD, ids=lambda document: document["kind"])
def test_every_field_of_an_outline_is_needed_but_the_corner(
    document: dict[str, Any],
) -> None:
    for name in document:
        if name == "corner":
            continue
        less = {key: value for key, value in document.items() if key != name}

        with pytest.raises(Refusal) as caught:
            read(less)

        assert caught.value.field.startswith("shape.")


@pytest.mark.parametrize(
    ("document", "field"),
    [
        ({"kind": "circle"}, "shape.kind"),
        ({"kind": "run", "sides": ["1", "1"], "corners": ["90"]}, "shape.sides"),
        (
            {"kind": "run", "sides": ["9", "9", "9"], "corners": ["90"]},
            "shape.corners",
        ),
        (
            {"kind": "run", "sides": ["9", "9", "9"], "corners": ["90", "360"]},
            "shape.corners[1]",
        ),
        (
            {"kind": "run", "sides": ["9", "0", "9"], "corners": ["90", "90"]},
            "shape.sides[1]",
        ),
        ({"kind": "polygon", "points": [["0", "0"], ["1", "0"]]}, "shape.points"),
        (
            {"kind": "polygon", "points": [["0", "0"], ["1"], ["1", "1"]]},
            "shape.points[1]",
        ),
        (
            {"kind": "polygon", "points": [["0", "0"], ["1", "wide"], ["1", "1"]]},
            "shape.points[1][1]",
        ),
        (
            {"kind": "quadrilateral", "sides": ["3", "4", "3"], "diagonal": "5"},
            "shape.sides",
        ),
        (
            {"kind": "wall_of", "floor": "f", "side": -1, "height": "2400"},
            "shape.side",
        ),
        ({"kind": "rectangle", "width": "61 m", "height": "2"}, "shape.width"),
    ],
)
def test_an_outline_that_cannot_be_is_refused_by_its_place(
    document: dict[str, Any], field: str
) -> None:
    with pytest.raises(Refusal) as caught:
        read(document)

    assert caught.value.field == field

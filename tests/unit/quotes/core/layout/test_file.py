"""Layout files: exact numbers, every refusal a sentence that names its key."""

from __future__ import annotations

import copy
import json
import math
from fractions import Fraction
from typing import Any

import pytest

from materials.core.errors import Refusal
from materials.core.lengths import INCH, MM
from quotes.core.layout.file import read_file, tallies_of

GOOD: dict[str, Any] = {
    "unit": "mm",
    "surfaces": [{"outer": [[0, 0], [1200, 0], [1200, 900], [0, 900]]}],
    "tile": {"length": 300, "width": 200},
    "joint": 3,
    "pattern": {"name": "running_bond", "offset": "1/3"},
    "origin": [0, 0],
    "kerf": 2,
}


def changed(path: str, value: object) -> str:
    """Return the good file with one key changed, or taken away when `...`."""
    document = copy.deepcopy(GOOD)
    *way, last = path.split("/")
    place: Any = document
    for step in way:
        place = place[int(step)] if step.isdigit() else place[step]
    if value is ...:
        del place[last]
    else:
        place[int(last) if last.isdigit() else last] = value
    return json.dumps(document)


def test_numbers_are_read_from_their_text() -> None:
    text = changed("joint", "JOINT").replace('"JOINT"', "0.1e1")
    file = read_file(text.replace("1200", "1200.1"))

    assert file.lattice.joint == MM
    assert file.surfaces[0].outer[1] == (12001 * MM // 10, 0)


@pytest.mark.parametrize(
    ("text", "ticks"),
    [("12 1/2", 25 * INCH // 2), ("1/3", INCH // 3), ("12.5", 609_600)],
)
def test_texts_are_numbers_too(text: str, ticks: int) -> None:
    document = json.loads(changed("unit", "in"))
    document["surfaces"][0]["outer"][1][0] = text

    assert read_file(json.dumps(document)).surfaces[0].outer[1][0] == ticks


def test_what_is_not_given_keeps_its_default() -> None:
    rules = read_file(json.dumps(GOOD)).rules

    assert (rules.tolerance, rules.gap, rules.directional, rules.slide) == (
        MM // 20, 0, False, False,
    )  # fmt: skip


def test_an_origin_in_a_surface_stands_for_it_alone() -> None:
    document = copy.deepcopy(GOOD)
    document["surfaces"] = [*document["surfaces"], {**document["surfaces"][0]}]
    document["surfaces"][1]["origin"] = "symmetrical"
    file = read_file(json.dumps(document))

    assert file.wishes == ((0, 0), "symmetrical")
    assert [tally.set_out.angle for tally in tallies_of(file)] == [Fraction(0)] * 2


@pytest.mark.parametrize(
    ("path", "value", "key"),
    [
        ("unit", "cm", "unit"),
        ("unit", ..., "unit"),
        ("unit", ["mm"], "unit"),
        ("unit", {"mm": 1}, "unit"),
        ("joint", math.nan, "joint"),
        ("surfaces/0/outer/1", [math.inf, 0], "surfaces[0].outer[1]"),
        ("surfaces", [], "surfaces"),
        ("surfaces/0/outer", [[0, 0], [1, 0]], "surfaces[0].outer"),
        ("surfaces/0/outer", [[0, 0], [9, 9], [9, 0], [0, 7]], "surfaces[0].outer"),
        ("surfaces/0/outer/1", [1, 2, 3], "surfaces[0].outer[1]"),
        ("surfaces/0/outer/1", ["x", 0], "surfaces[0].outer[1]"),
        ("surfaces/0/holes", [[[0, 0], [9999, 0], [0, 9]]], "surfaces[0].holes[0]"),
        ("surfaces/0/edges", ["wall"], "surfaces[0].edges"),
        ("surfaces/0/edges", ["wall", "wall", "wall", "sea"], "surfaces[0].edges[3]"),
        ("surfaces/0/colour", "red", "surfaces[0].colour"),
        ("tile", ..., "tile"),
        ("tile/length", ..., "tile.length"),
        ("tile/length", -300, "tile.length"),
        ("tile/length", True, "tile.length"),
        ("tile/module", 3, "tile.module"),
        ("joint", 200, "joint"),
        ("joint", -1, "joint"),
        ("joint", "1/0", "joint"),
        ("joint", "٣", "joint"),
        ("pattern", {"name": "crazy"}, "pattern.name"),
        ("pattern/offset", ..., "pattern.offset"),
        ("pattern/offset", 2, "pattern.offset"),
        ("pattern/returning", "yes", "pattern.returning"),
        ("pattern/n", 2, "pattern.n"),
        ("pattern/angle", None, "pattern.angle"),
        ("origin", ..., "origin"),
        ("origin", "middle", "origin"),
        ("origin", [1], "origin"),
        ("kerf", -1, "kerf"),
        ("gap", 450, "gap"),
        ("gap", -2, "gap"),
        ("tolerance", 60, "tolerance"),
        ("directional", 1, "directional"),
        ("slide", "no", "slide"),
        ("surfaces/0/outer/1", [99999999999, 0], "surfaces[0].outer[1]"),
        ("more", 1, "more"),
    ],
)
def test_a_refusal_names_its_key(path: str, value: object, key: str) -> None:
    with pytest.raises(Refusal) as refused:
        tallies_of(read_file(changed(path, value)))

    assert key in refused.value.sentence
    assert refused.value.sentence.endswith(".")
    assert "\n" not in refused.value.sentence


@pytest.mark.parametrize(
    "text",
    [
        "", "[]", "nonsense", '{"unit": NaN}', '{"unit":"mm","unit":"in"}', "[" * 9000,
        json.dumps(GOOD).replace('"joint": 3', '"joint": 1e99999999'),
        json.dumps(GOOD).replace('"joint": 3', '"joint": ' + "9" * 60),
    ],
)  # fmt: skip
def test_what_is_no_layout_is_refused(text: str) -> None:
    with pytest.raises(Refusal):
        read_file(text)

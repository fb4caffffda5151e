"""A bare length of a layer keeps its meaning in a visit of another system."""

from __future__ import annotations

import json

import pytest

from materials.core.lengths import Length
from quotes.core.layer_units import LENGTHS, with_units
from quotes.core.offer_file import _LENGTHS
from tests.source_files import ROOT

LAYER = {
    "role": "tile",
    "material": "TL-1",
    "joint": "1/8",
    "loss": "1/10",
    "notch": {"kind": "square", "width": "1/4", "depth": "3/8"},
    "pattern": {"name": "running_bond", "offset": "1/2", "origin": ["3", "2 1/4"]},
}


def test_bare_inches_say_so_and_nothing_else_changes() -> None:
    [found] = with_units([LAYER], system="imperial")

    assert found == {
        **LAYER,
        "joint": '1/8"',
        "notch": {"kind": "square", "width": '1/4"', "depth": '3/8"'},
        "pattern": {**LAYER["pattern"], "origin": ['3"', '2 1/4"']},  # type: ignore[dict-item]
    }


@pytest.mark.parametrize("text", ["3 mm", '1/8"', "nonsense", "", "12 cm", "1' 2"])
def test_what_says_its_unit_or_is_no_length_stays(text: str) -> None:
    assert with_units([{"joint": text}], system="metric") == [{"joint": text}]


def test_marked_once_it_stays() -> None:
    once = with_units([LAYER], system="imperial")

    assert with_units(once, system="metric") == once


def test_every_length_of_a_layer_is_known_here() -> None:
    assert {*_LENGTHS, "joint", "thickness"} <= LENGTHS


@pytest.mark.parametrize("system", ["imperial", "metric"])
def test_the_starter_s_build_ups_mean_the_same_in_the_other_system(system: str) -> None:
    text = (ROOT / f"materials/starter/{system}.json").read_text("utf-8")
    other = "metric" if system == "imperial" else "imperial"

    def joints(layers: list[dict[str, str]], read: str) -> list[Length]:
        return [
            Length.parse(layer["joint"], system=read)
            for layer in layers
            if "joint" in layer
        ]

    for build_up in json.loads(text)["build_ups"].values():
        layers = build_up["layers"]
        marked = with_units(layers, system=system)
        assert joints(layers, system) == joints(marked, other)

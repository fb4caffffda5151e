"""The page of a build-up: asks what a layer takes, loses nothing it does not show."""

from __future__ import annotations

import re
from typing import Any

import pytest

from quotes.models import BuildUp, Visit
from quotes.queries.layer_words import layer_values, layers_entry
from tests.service.office import (
    a_space,
    a_stocked_business,
    ada,
    send,
    signed_in,
    text_of,
)

pytestmark = pytest.mark.django_db

LAYERS: list[dict[str, Any]] = [
    {"role": "bed", "material": "MO-1",
     "notch": {"kind": "u", "width": "8", "depth": "8"}},
    {"role": "tile", "material": "TL-1", "joint": "3",
     "pattern": {"name": "running_bond", "offset": "1/3", "origin": ["3", "4"]}},
    {"role": "trim", "material": "PR-1", "along": "openings", "pieces": 2},
    {"role": "waterproofing", "material": "ME-1", "coats": 2, "lap": "50",
     "turn_up": "70"},
]  # fmt: skip


def test_a_page_sent_as_it_came_changes_no_layer() -> None:
    assert layers_entry(layer_values(LAYERS), LAYERS) == LAYERS


def test_what_the_page_has_no_field_for_is_kept() -> None:
    posted = {"layer_0_role": "bed", "layer_1_role": "tile", "layer_2_role": "trim",
              "layer_3_role": "waterproofing"}  # fmt: skip

    assert layers_entry(posted, LAYERS) == LAYERS


def test_the_other_sizes_of_a_mixed_pattern_are_typed_as_codes() -> None:
    posted = {"layer_0_role": "tile", "layer_0_pattern_name": "modular",
              "layer_0_pattern_with": " TL-2,TL-3 , TL-4,"}  # fmt: skip

    found = layers_entry(posted, [])

    assert found[0]["pattern"] == {"name": "modular", "with": ["TL-2", "TL-3", "TL-4"]}
    assert layer_values(found)["layer_0_pattern_with"] == "TL-2, TL-3, TL-4"
    emptied = layers_entry({**posted, "layer_0_pattern_with": ""}, found)
    assert emptied[0]["pattern"] == {"name": "modular"}


def test_an_emptied_field_is_emptied_and_another_role_keeps_nothing() -> None:
    values = layer_values(LAYERS)
    values |= {"layer_1_joint": "", "layer_2_role": "sealant", "layer_2_along": ""}

    found = layers_entry(values, LAYERS)

    assert "joint" not in found[1]
    assert found[2] == {"role": "sealant", "material": "PR-1"}


def a_built_visit() -> Visit:
    a_stocked_business()
    visit = a_space().visit
    send(signed_in(ada()), "build-ups", visit.uid, template="wet-wall")
    return visit


def test_a_row_offers_products_of_its_layer_and_asks_what_it_takes() -> None:
    page = text_of(signed_in(ada()), "build-up", a_built_visit().uid, "wet-wall")

    rows = dict(
        re.findall(
            r'name="layer_(\d+)_role".*?<option value="(\w+)" selected', page, re.S
        )
    )
    tile = next(place for place, role in rows.items() if role == "tile")
    assert f'name="layer_{tile}_pattern_name"' in page
    assert f'name="layer_{tile}_coats"' not in page
    offered = re.search(
        rf'<select[^>]*name="layer_{tile}_material".*?</select>', page, re.S
    )
    assert offered is not None
    codes = re.findall(r'value="([^"]+)"', offered[0])
    assert codes
    assert not [code for code in codes if code.startswith(("GR-", "MO-"))]


def test_saving_the_page_of_every_starter_build_up_changes_nothing() -> None:
    a_stocked_business()
    visit, browser = a_space().visit, signed_in(ada())
    for template in list(BuildUp.objects.filter(visit=None)):
        send(browser, "build-ups", visit.uid, template=template.key)
        page = text_of(browser, "build-up", visit.uid, template.key)
        fields = dict(
            re.findall(r'<input[^>]*name="(layer_\w+)"[^>]*value="([^"]*)"', page)
        )
        for name, options in re.findall(
            r'<select[^>]*name="(layer_\w+)"[^>]*>(.*?)</select>', page, re.S
        ):
            chosen = re.search(r'value="([^"]*)" selected', options)
            fields[name] = chosen[1] if chosen else ""

        send(browser, "build-up", visit.uid, template.key, name=template.name, **fields)

        kept = BuildUp.objects.get(visit=visit, key=template.key)
        assert [{"supplied_by": "us", **layer} for layer in kept.layers] == [
            {"supplied_by": "us", **layer} for layer in template.layers
        ]

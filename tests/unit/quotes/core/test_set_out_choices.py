"""What a part can be set out as, and what is kept of a pick."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from materials.core.errors import Refusal
from materials.core.need import MaterialFacts
from materials.core.pricelist import catalogue_on
from quotes.core.layout.setout import OWN
from quotes.core.set_out_choices import choices_of, chosen_pattern
from quotes.core.taken import LayerUse
from quotes.core.takeoff import take_off
from quotes.core.visit_file import read_visit
from tests.builders import a_kitchen_wall


def a_part() -> tuple[LayerUse, MaterialFacts]:
    visit = read_visit(a_kitchen_wall())
    assert visit.price_list is not None
    catalogue = catalogue_on(visit.price_list, date(2026, 4, 1))
    layers = take_off(visit, catalogue).layers
    part = next(one for one in layers if one.role == "tile" and one.material)
    return part, catalogue[part.material]


def test_each_aim_is_met_at_least_as_well_as_by_the_others() -> None:
    part, material = a_part()
    choices = choices_of(part, material, system="imperial")

    assert choices is not None
    tiles = {one.aim: one.tiles for one in choices.proposals}
    cuts = {one.aim: one.cuts for one in choices.proposals}
    assert tiles.get("least_tile", min(tiles.values())) == min(tiles.values())
    assert cuts.get("fewest_cuts", min(cuts.values())) == min(cuts.values())
    assert len(choices.proposals) >= 2
    assert choices.attainable is not None
    assert 0 < choices.attainable <= 1


def test_an_own_origin_is_among_the_set_outs() -> None:
    part, material = a_part()
    own = replace(part, pattern={**part.pattern, "origin": ["2 1/2", "1"]})
    choices = choices_of(own, material, system="imperial")

    assert choices is not None
    assert choices.chosen == OWN
    assert OWN in choices.aims


def test_a_pick_keeps_the_pattern_and_changes_the_origin() -> None:
    part, _material = a_part()

    kept = chosen_pattern(part, "fewest_cuts", ("", ""))
    assert kept == {"name": "stack", **part.pattern, "origin": "fewest_cuts"}
    assert chosen_pattern(part, OWN, ("5", " 2 "))["origin"] == ["5", "2"]
    with pytest.raises(Refusal, match="left side"):
        chosen_pattern(part, OWN, ("", "2"))
    with pytest.raises(Refusal, match="Choose"):
        chosen_pattern(part, "prettiest", ("", ""))

from __future__ import annotations

import pytest

from quotes.core.cautions import (
    ASBESTOS_BEFORE,
    HEAVY_KG,
    for_client,
    for_shop,
    stop_for_asbestos,
)
from quotes.core.taken import EVERYONE, SHOP, Caution
from quotes.core.visit import Site
from tests import builders
from tests.priced import priced_visit

STRIP = [{"operation": "strip_board", "quantity": "9"}]


def _codes(file):
    return {caution.code for caution in priced_visit(file).cautions}


def test_a_shower_names_dust_water_drain_and_structure():
    assert _codes(builders.a_shower()) >= {
        "silica",
        "waterproofing",
        "drain",
        "structure",
    }


def test_a_dry_wall_names_no_water_and_no_drain():
    assert not _codes(builders.a_kitchen_wall()) & {"waterproofing", "drain"}


def test_heated_floors_name_the_electrician():
    file = builders.a_hall()
    file["spaces"][0]["surfaces"][0]["exposure"] = "heated"

    assert "heating" in _codes(file)


def test_heavy_packs_are_named():
    assert "lifting" in _codes(builders.a_hall())  # 25 kg of leveller
    assert HEAVY_KG == 23


@pytest.mark.parametrize(
    ("built", "tested", "stops"),
    [
        (1936, "", True),
        (ASBESTOS_BEFORE - 1, "", True),
        (ASBESTOS_BEFORE, "", False),
        (None, "", True),
        (1936, "report 4711, none found", False),
        (None, "report 4711, none found", False),
        (1936, "   ", True),
    ],
)
def test_old_or_unknown_buildings_wait_for_a_test(built, tested, stops):
    assert bool(stop_for_asbestos(Site(built=built), tested=tested)) is stops


def test_stripping_an_old_building_is_not_priced_and_is_excluded():
    file = builders.a_kitchen_wall(labour=STRIP)

    found = priced_visit(file)

    line = found.option.line("labour:strip_board")
    assert line.stopped
    assert line.price.amount == 0
    assert {"asbestos", "lead"} <= _codes(file)


def test_a_recorded_test_lets_the_stripping_go_on():
    file = builders.a_kitchen_wall(labour=STRIP)
    file["site"]["asbestos_test"] = "laboratory report 88, none found"

    found = priced_visit(file)

    assert found.option.line("labour:strip_board").price.amount > 0
    assert "asbestos" not in _codes(file)


def test_a_building_without_old_things_to_strip_has_no_such_caution():
    assert not _codes(builders.a_kitchen_wall()) & {"asbestos", "lead"}


def test_every_caution_says_where_it_comes_from_and_stands_once():
    cautions = priced_visit(builders.a_shower()).cautions

    sentences = [caution.sentence for caution in cautions]
    assert len(set(sentences)) == len(sentences)
    assert all(caution.source for caution in cautions if caution.code != "material")


def test_dust_water_and_structure_are_for_everyone_lifting_for_the_shop():
    shower = {c.code: c.reader for c in priced_visit(builders.a_shower()).cautions}
    hall = {c.code: c.reader for c in priced_visit(builders.a_hall()).cautions}

    assert shower["silica"] == shower["waterproofing"] == EVERYONE
    assert shower["structure"] == EVERYONE
    assert hall["lifting"] == SHOP


def test_the_sentences_of_client_and_shop_are_apart_and_stand_once():
    one = Caution(code="a", sentence="Mind the dust.")
    two = Caution(code="b", sentence="Change one of the two.", reader=SHOP)

    assert for_client((one, two, one)) == ("Mind the dust.",)
    assert for_shop((one, two, two)) == ("Change one of the two.",)


def test_a_caution_for_three_walls_is_one_sentence_that_names_them():
    file = builders.a_shower()
    for layer in file["build_ups"]["wet_wall"]["layers"]:
        if layer["role"] == "tile":
            layer["material"] = "TL-1224"

    flat = [c for c in priced_visit(file).cautions if "must be flat" in c.sentence]

    assert len(flat) == 1
    assert "Shower, back wall; Shower, left wall; Shower, right wall" in (
        flat[0].sentence
    )

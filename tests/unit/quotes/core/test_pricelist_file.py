"""The price list a visit file carries."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from materials.core.errors import Refusal
from materials.core.lengths import Length
from materials.core.pricelist import PriceList
from quotes.core.visit_file import read_visit
from tests.builders import a_bare_visit

PRICE = {"valid_from": "2026-01-05", "amount": "12.60"}
PACK = {"label": "5 kg bag", "content": "5 kg", "prices": [PRICE]}
GROUT = {
    "code": "GR", "name": "Grout", "kind": "grout",
    "facts": {"density": "1.6", "joint_min": "2"}, "packs": [PACK],
}  # fmt: skip


def read(*materials: dict[str, Any], **more: Any) -> PriceList:
    document = a_bare_visit(price_list={"materials": list(materials), **more})
    price_list = read_visit(document).price_list
    assert price_list is not None
    return price_list


def test_a_material_is_read_with_its_facts_packs_and_prices() -> None:
    (grout,) = read(GROUT).materials

    assert grout.facts["joint_min"] == Length.mm(2)
    assert grout.facts_typed == GROUT["facts"]
    (pack,) = grout.packs
    assert (pack.key, pack.content, pack.content_text) == ("GR/1", 5, "5 kg")
    assert pack.prices[0].amount == 126_000


def test_a_pack_is_counted_in_the_unit_of_its_form() -> None:
    roll = {
        "code": "SM", "name": "Sheet", "kind": "membrane",
        "facts": {"form": "sheet", "roll_width": "1000"},
        "packs": [{**PACK, "content": "33 ft"}],
    }  # fmt: skip

    assert read(roll).materials[0].packs[0].content == 33 * Fraction("0.3048")


def test_suppliers_are_read_with_their_charges() -> None:
    (supplier,) = read(
        GROUT, suppliers=[{"name": "Yard", "delivery_charge": "45"}]
    ).suppliers

    assert (supplier.delivery_charge, supplier.minimum_order) == (450_000, None)


def test_the_stored_list_is_none_here() -> None:
    assert read_visit(a_bare_visit(price_list="stored")).price_list is None
    assert read_visit(a_bare_visit()).price_list is None


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"kind": "wallpaper"}, "kind"),
        ({"kind": None}, "kind"),
        ({"code": ""}, "code"),
        ({"facts": {"density": "heavy"}}, "facts.density"),
        ({"facts": {"weight": "3"}}, "facts.weight"),
        ({"suited_to": [3]}, "suited_to[0]"),
        ({"one_lot": "yes"}, "one_lot"),
        ({"packs": [{**PACK, "content": "0"}]}, "packs[0].content"),
        ({"packs": [{**PACK, "content": "5 m"}]}, "packs[0].content"),
        ({"packs": [{**PACK, "label": ""}]}, "packs[0].label"),
        ({"packs": [{**PACK, "restocking": "120 %"}]}, "packs[0].restocking"),
        ({"packs": [{**PACK, "prices": [{**PRICE, "amount": "-1"}]}]},
         "packs[0].prices[0].amount"),
        ({"packs": [{**PACK, "prices": [{**PRICE, "amount": "£12"}]}]},
         "packs[0].prices[0].amount"),
        ({"packs": [{**PACK, "prices": [{**PRICE, "valid_until": "2025-01-01"}]}]},
         "packs[0].prices[0].valid_until"),
        ({"packs": [{**PACK, "prices": [{**PRICE, "least_packs": 0}]}]},
         "packs[0].prices[0].least_packs"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_by_its_place(
    changes: dict[str, Any], field: str
) -> None:
    with pytest.raises(Refusal) as caught:
        read({**GROUT, **changes})

    assert caught.value.field == f"price_list.materials[0].{field}"


def test_a_code_that_stands_twice_is_refused() -> None:
    with pytest.raises(Refusal, match="twice"):
        read(GROUT, GROUT)

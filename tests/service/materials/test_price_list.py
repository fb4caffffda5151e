"""The price list: products with the facts of their kind, packs, dated prices."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction
from typing import Any

import pytest
from django.utils import timezone
from moneyed import Money

from materials.core.kinds import KINDS
from materials.models import Material, Pack, Price, Supplier
from materials.queries import stored_price_list
from materials.services.pricelist import PackEntry, PriceEntry, add_pack
from materials.services.starter import take_price_list
from tests.service.office import (
    a_business,
    a_material,
    a_pack,
    a_stocked_business,
    a_supplier,
    ada,
    faults,
    new_key,
    olive,
    pounds,
    send,
    signed_in,
    text_of,
)

pytestmark = pytest.mark.django_db

TILE = {
    "code": "TL-9",
    "name": "Stone tile, sand",
    "fact_length": "600",
    "fact_width": "300",
    "fact_thickness": "9",
    "fact_joint": "3",
    "fact_directional": "no",
}
PACK = {
    "label": "box of 6",
    "content": "1.08",
    "lead_days": "0",
    "amount": "38.40",
    "valid_from": "2026-03-01",
}
NO_PRICES = ["-5", "NaN", "Infinity", "1e5", "12,50", "١٢", "9" * 40, "1.23456", "ten"]


def test_a_tile_is_added_with_the_facts_of_its_kind() -> None:
    a_business()

    send(signed_in(olive()), "add-product", "tile", **TILE)

    tile = Material.objects.get()
    assert (tile.code, tile.kind) == ("TL-9", "tile")
    assert tile.facts["length"] == "600"


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("fact_length", "0", ""),
        ("fact_length", "-600", ""),
        ("fact_length", "900'", ""),
        ("fact_length", "NaN", "was not understood"),
        ("fact_length", "٦٠٠", "was not understood"),
        ("fact_length", "9" * 40, "was not understood"),
        ("fact_length", "", "This field is required"),
        ("fact_directional", "perhaps", "Select a valid choice"),
        ("code", "", "This field is required"),
        ("code", "x" * 41, "at most 40 characters"),
    ],
)
def test_a_fact_is_refused_beside_its_own_field(
    field: str, typed: str, sentence: str
) -> None:
    a_business()

    response = send(
        signed_in(olive()), "add-product", "tile", expect=422, **{**TILE, field: typed}
    )

    page = response.content.decode()
    assert f'id="id_{field}_error"' in page, faults(response)
    assert any(sentence in fault for fault in faults(response)), faults(response)
    assert 'value="Stone tile, sand"' in page
    assert Material.objects.count() == 0


@pytest.mark.parametrize("kind", [kind.key for kind in KINDS])
def test_every_kind_has_a_form_that_names_its_facts(kind: str) -> None:
    a_business()

    page = text_of(signed_in(ada()), "add-product", kind)

    for parameter in next(row for row in KINDS if row.key == kind).parameters:
        assert f'name="fact_{parameter.name}"' in page


def test_an_unknown_kind_is_nowhere() -> None:
    a_business()
    send(signed_in(ada()), "add-product", "carpet", expect=404, **TILE)


def test_a_code_is_given_once() -> None:
    a_business()
    send(signed_in(ada()), "add-product", "tile", **TILE)

    response = send(signed_in(ada()), "add-product", "tile", expect=422, **TILE)

    assert "already exists" in " ".join(faults(response))
    assert Material.objects.count() == 1


def test_changed_facts_are_read_by_the_kind_again() -> None:
    material = a_material()
    browser = signed_in(ada())

    send(browser, "product", material.pk, name="Grout, sand", fact_density="1.7",
         fact_loss="10 %")  # fmt: skip
    refused = send(browser, "product", material.pk, expect=422, name="Grout, clay",
                   fact_density="heavy", fact_loss="10 %")  # fmt: skip

    material.refresh_from_db()
    assert (material.name, material.facts["density"]) == ("Grout, sand", "1.7")
    assert 'value="heavy"' in refused.content.decode()
    assert 'id="id_fact_density_error"' in refused.content.decode()


def test_a_pack_comes_with_its_first_price() -> None:
    material = a_material()

    send(signed_in(olive()), "add-pack", material.pk, supplier=a_supplier().pk, **PACK)

    price = Price.objects.select_related("pack").get()
    assert price.pack.content == Fraction(108, 100)
    assert price.amount == Money("38.40", "GBP")
    assert (price.valid_from, price.entered_by) == (date(2026, 3, 1), olive())


@pytest.mark.parametrize("typed", NO_PRICES)
def test_a_pack_at_no_price_is_refused(typed: str) -> None:
    material = a_material()

    response = send(signed_in(ada()), "add-pack", material.pk, expect=422,
                    supplier=a_supplier().pk, **{**PACK, "amount": typed})  # fmt: skip

    page = response.content.decode()
    assert 'id="id_amount_error"' in page
    assert f'value="{typed}"' in page
    assert 'value="box of 6"' in page
    assert Pack.objects.count() == 0


@pytest.mark.parametrize("typed", ["0", "-1", "NaN", "٣", "9" * 40, "some"])
def test_a_pack_that_holds_nothing_is_refused(typed: str) -> None:
    material = a_material()

    response = send(signed_in(ada()), "add-pack", material.pk, expect=422,
                    supplier=a_supplier().pk, **{**PACK, "content": typed})  # fmt: skip

    assert faults(response)
    assert f'value="{typed}"' in response.content.decode()
    assert Pack.objects.count() == 0


def test_what_a_pack_holds_is_kept_to_a_millionth_half_up() -> None:
    pack = add_pack(
        material=a_material(),
        entry=PackEntry(
            supplier=a_supplier(), label="sack", content=Fraction(226796185, 10**7)
        ),
        price=PriceEntry(valid_from=date(2026, 1, 5), amount=pounds("19.20")),
        person=ada(),
        key=new_key(),
    )

    pack.refresh_from_db()
    assert pack.content == Fraction(22679619, 10**6)


def test_a_new_price_leaves_the_earlier_one_in_place() -> None:
    pack = a_pack(price="12.40")

    send(signed_in(ada()), "change-price", pack.pk, amount="13.95", least_packs="1",
         valid_from="2026-06-01")  # fmt: skip

    prices = Price.objects.order_by("valid_from").values_list("valid_from", "amount")
    assert [day for day, _amount in prices] == [date(2026, 1, 5), date(2026, 6, 1)]
    assert Price.objects.latest("valid_from").amount == Money("13.95", "GBP")


def test_a_second_price_of_one_day_replaces_the_first() -> None:
    pack = a_pack()

    for amount in ("13.95", "13.59"):
        send(signed_in(ada()), "change-price", pack.pk, amount=amount,
             least_packs="1", valid_from="2026-06-01")  # fmt: skip

    assert Price.objects.get(valid_from=date(2026, 6, 1)).amount == pounds("13.59")


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"valid_from": "0026-06-01"}, "valid_from"),
        ({"valid_from": "tomorrow"}, "valid_from"),
        ({"valid_from": "2026-06-01", "valid_until": "2026-05-01"}, ""),
        ({"least_packs": "0"}, "least_packs"),
        ({"amount": ""}, "amount"),
    ],
)
def test_a_price_with_a_slip_is_refused(change: dict[str, str], field: str) -> None:
    pack = a_pack()
    entry = {"amount": "13.95", "least_packs": "1", "valid_from": "2026-06-01"}

    response = send(
        signed_in(ada()), "change-price", pack.pk, expect=422, **{**entry, **change}
    )

    assert faults(response)
    if field:
        assert f'id="id_{field}_error"' in response.content.decode()
    assert Price.objects.count() == 1


def test_a_merchant_is_there_once_whatever_the_letters() -> None:
    a_business()
    browser = signed_in(olive())

    send(browser, "suppliers", name="Harrow Lane")
    send(browser, "suppliers", name="HARROW LANE")

    assert Supplier.objects.get().name == "Harrow Lane"


@pytest.mark.parametrize("number", [5, 60])
def test_the_list_takes_the_same_queries_at_5_and_at_60_products(
    number: int, django_assert_num_queries: Any
) -> None:
    a_business()
    rows = [
        Material(code=f"GR-{place:02d}", name=f"Grout {place:02d}", kind="grout",
                 facts={"density": "1.6"})
        for place in range(number)
    ]  # fmt: skip
    Material.objects.bulk_create(rows)
    supplier = a_supplier()
    packs = [
        Pack(material=row, supplier=supplier, label="bag", content=Fraction(5))
        for row in Material.objects.all()
    ]
    Pack.objects.bulk_create(packs)
    Price.objects.bulk_create(
        Price(pack=pack, valid_from=date(2026, 1, 5), amount=pounds("12.40"))
        for pack in Pack.objects.all()
    )
    browser = signed_in(ada())

    # Session, person, business; count, products, packs with merchants, prices.
    with django_assert_num_queries(LIST_QUERIES):
        page = text_of(browser, "price-list")

    assert page.count("Grout ") >= min(number, 20)


LIST_QUERIES = 6


@pytest.mark.parametrize("system", ["metric", "imperial"])
def test_the_starter_list_of_a_system_loads_whole(system: str) -> None:
    a_stocked_business(system)

    listed = stored_price_list()

    assert len(listed.materials) >= 50
    assert {row.kind for row in listed.materials} >= {kind.key for kind in KINDS}
    assert all(pack.content > 0 for row in listed.materials for pack in row.packs)
    assert all(pack.prices for row in listed.materials for pack in row.packs)


def test_the_starter_list_taken_twice_adds_nothing() -> None:
    a_business()
    listed = {
        "suppliers": [{"name": "Northquay Merchants"}],
        "materials": [{"code": "GR-7", "name": "Grout", "kind": "grout"}],
    }

    assert take_price_list(listed=listed, person=ada()) == 1
    assert take_price_list(listed=listed, person=ada()) == 0

    assert Material.objects.count() == 1


def test_a_box_of_tile_is_taken_by_the_area_printed_on_it() -> None:
    """0.27 m² of 300 by 300 are three; 0.25 m² are no whole number of them."""
    a_business()
    tile = Material.objects.create(
        name="Tile", kind="tile", code="T-300",
        facts={"length": "300", "width": "300", "thickness": "8", "joint": "3"},
    )  # fmt: skip
    browser, supplier = signed_in(olive()), a_supplier()

    send(
        browser, "add-pack", tile.pk, supplier=supplier.pk,
        **{**PACK, "content": "0.27 m2"},
    )  # fmt: skip
    wrong = send(
        browser, "add-pack", tile.pk, expect=422, supplier=supplier.pk,
        **{**PACK, "content": "0.25 m2", "label": "other"},
    )  # fmt: skip

    assert Pack.objects.get().content == 3
    assert 'id="id_content_error"' in wrong.content.decode()


def test_the_list_shows_the_single_pack_price_of_the_day() -> None:
    a_business()
    pack = a_pack(a_material())
    Price.objects.all().delete()
    day = timezone.localdate()
    for begun, least, amount in (
        (day - timedelta(days=30), 1, "17.30"), (day, 1, "18.40"),
        (day, 10, "16.20"), (day + timedelta(days=9), 1, "19.50"),
    ):  # fmt: skip
        Price.objects.create(
            pack=pack, valid_from=begun, least_packs=least, amount=pounds(amount)
        )

    page = text_of(signed_in(ada()), "price-list")

    assert "18.40" in page
    # An amount has its currency's digits, and other days' and breaks' prices are none.
    assert not any(price in page for price in ("17.30", "16.20", "19.50", "18.4000"))

"""Of a long price list a visit reads what it names and what it chooses from."""

from __future__ import annotations

from datetime import timedelta

import pytest

from materials.core.amounts import from_units
from materials.models import Material, Pack, Price
from quotes.queries.estimating import catalogue_of, priced, visit_record
from quotes.queries.visit_prices import words_in
from tests.service.quotes.test_cut_list import a_shower

pytestmark = pytest.mark.django_db


def test_a_visit_is_priced_alike_from_what_it_reads() -> None:
    visit = a_shower()
    on = visit.held_on
    Material.objects.bulk_create(
        Material(code=f"ZZ-{n}", name="Another", kind="sealant", facts={})
        for n in range(50)
    )

    whole, lean = catalogue_of(on), catalogue_of(on, visit_record(visit))

    assert priced(visit, on=on) == priced(visit, on=on, catalogue=whole)
    assert len(lean) <= len(whole) - 50
    assert lean == {code: whole[code] for code in lean}
    chosen = {"backer_board"}
    assert {code for code, one in whole.items() if one.kind in chosen} <= set(lean)


def test_pans_are_read_where_a_layer_leaves_the_choice() -> None:
    visit = a_shower()
    floor = visit.build_ups.get(name__startswith="Shower floor")
    floor.layers = [
        {**layer, "material": ""} if layer["role"] == "pan" else layer
        for layer in floor.layers
    ]
    floor.save()
    pans = {row.code for row in Material.objects.filter(kind="foam_pan")}

    assert pans <= set(catalogue_of(visit.held_on, visit_record(visit)))


def test_a_price_that_ended_and_its_breaks_are_left_out() -> None:
    visit = a_shower()
    on, record = visit.held_on, visit_record(visit)
    pack = Pack.objects.filter(material__code__in=catalogue_of(on, record))[0]
    pack.prices.all().delete()
    rows = [
        (on - timedelta(days=90), None, 1, 11),
        (on - timedelta(days=60), None, 1, 22),
        (on - timedelta(days=60), None, 10, 20),
        (on - timedelta(days=60), on - timedelta(days=1), 20, 18),
        (on - timedelta(days=30), on - timedelta(days=1), 1, 33),
        (on + timedelta(days=1), None, 1, 44),
    ]
    for begins, ends, least, amount in rows:
        Price.objects.create(
            pack=pack,
            valid_from=begins,
            valid_until=ends,
            least_packs=least,
            amount=from_units(amount * 10_000, "EUR"),
        )

    whole, lean = catalogue_of(on), catalogue_of(on, record)

    code = pack.material.code
    found = next(one for one in lean[code].packs if one.key == str(pack.pk))
    assert lean[code] == whole[code]
    assert (found.price, found.breaks) == (220_000, ((10, 200_000),))


def test_every_code_a_record_holds_is_among_its_words() -> None:
    record = visit_record(a_shower())

    named = {
        layer.material
        for build_up in record.build_ups.values()
        for layer in build_up.layers
    }
    assert named <= words_in(record)
    assert words_in({"a": ["b", ("c", 1, None)]}) == {"a", "b", "c"}

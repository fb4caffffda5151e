"""Of a long price list a visit reads what it names and what it chooses from."""

from __future__ import annotations

import pytest

from materials.models import Material
from quotes.queries.estimating import catalogue_of, priced, visit_record, words_in
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
    chosen = {"foam_pan", "backer_board"}
    assert {code for code, one in whole.items() if one.kind in chosen} <= set(lean)


def test_every_code_a_record_holds_is_among_its_words() -> None:
    record = visit_record(a_shower())

    named = {
        layer.material
        for build_up in record.build_ups.values()
        for layer in build_up.layers
    }
    assert named <= words_in(record)
    assert words_in({"a": ["b", ("c", 1, None)]}) == {"a", "b", "c"}

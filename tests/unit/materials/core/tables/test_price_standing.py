"""The price list that a table is held against."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from materials.core.pricelist import (
    DatedPrice,
    ListedMaterial,
    ListedPack,
    PriceList,
)
from materials.core.tables.price_standing import Product, pack_key, standing_of

PACK = ListedPack(
    key="1", label="Tube", content=Fraction(1), supplier="Quay", supplier_code="Q-7"
)
LIST = PriceList(
    currency="GBP",
    materials=(
        ListedMaterial(code="SL-1", name="S", kind="sealant", facts={}, packs=(PACK,)),
    ),
)
TODAY = date(2026, 5, 4)


def test_packs_are_found_by_code_and_by_the_merchant_s_own() -> None:
    standing = standing_of(LIST, "metric", TODAY, ["Old-1"])

    assert standing.products["sl-1"].packs == {pack_key("SL-1", "QUAY", "tube"): PACK}
    assert standing.by_supplier_code["quay", "q-7"][0][0] == "SL-1"
    assert standing.retired == {"old-1"}


def test_what_a_row_leaves_is_there_for_the_next() -> None:
    standing = standing_of(LIST, "metric", TODAY, [])
    made = Product(code="SL-2", name="N", kind="sealant", typed={})
    price = DatedPrice(valid_from=TODAY, amount=5)

    standing.keep(9, made, PACK, price)

    key = pack_key("SL-2", "Quay", "Tube")
    assert standing.products["sl-2"].packs == {key: PACK}
    assert standing.entered == {(key, TODAY, 1): (9, 5)}

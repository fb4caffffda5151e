"""What a table of prices would change."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest

from materials.core.pricelist import (
    DatedPrice,
    ListedMaterial,
    ListedPack,
    PriceList,
)
from materials.core.tables.price_changes import compared
from materials.core.tables.price_columns import PriceRow
from materials.core.tables.price_records import (
    Outcome,
    PackStep,
    PriceStep,
    ProductStep,
)

TODAY = date(2026, 5, 4)
GROUT = {"density": "1.6", "water": "0.25"}


def pack(
    label: str = "bag 5 kg", *prices: DatedPrice, code: str = "4711"
) -> ListedPack:
    return ListedPack(
        key="1",
        label=label,
        content=Fraction(5),
        content_text="5",
        supplier="Quay Tiles",
        supplier_code=code,
        prices=prices or (DatedPrice(valid_from=date(2026, 1, 1), amount=120_000),),
    )


def listed(*packs: ListedPack) -> PriceList:
    sealant = ListedMaterial(
        code="SL-1",
        name="Sealant grey",
        kind="sealant",
        facts={},
        facts_typed={},
        packs=packs or (pack(),),
    )
    return PriceList(currency="GBP", materials=(sealant,))


def judged(*rows: dict[str, str], prices: PriceList | None = None) -> list[Outcome]:
    return list(
        compared(
            [PriceRow(line=2 + rank, cells=row) for rank, row in enumerate(rows)],
            prices or listed(),
            system="metric",
            today=TODAY,
            retired=["OLD-1"],
        )
    )


def test_a_code_and_a_price_are_enough_where_a_product_has_one_pack() -> None:
    (one,) = judged({"code": "sl-1", "price": "13.20"})

    assert (one.verdict, one.before, one.after) == ("changed", 120_000, 132_000)
    (step,) = one.steps
    assert isinstance(step, PriceStep)
    assert step.price.valid_from == TODAY
    assert (step.code, step.supplier, step.label) == ("SL-1", "Quay Tiles", "bag 5 kg")


def test_a_merchant_s_own_code_finds_the_pack() -> None:
    (one,) = judged({"merchant": "quay tiles", "merchant_code": "4711", "price": "13"})

    assert (one.code, one.after) == ("SL-1", 130_000)


def test_what_is_so_already_is_left_alone() -> None:
    same, later = judged(
        {"code": "SL-1", "price": "12"},
        {"code": "SL-1", "price": "12.00", "valid_from": "2026-06-01"},
    )

    assert (same.verdict, same.steps) == ("same", ())
    assert (later.verdict, later.steps) == ("same", ())


def test_a_break_is_a_price_of_its_own() -> None:
    (one,) = judged({"code": "SL-1", "price": "12", "least_packs": "10"})

    assert (one.verdict, one.before, one.after) == ("new price", None, 120_000)


def test_a_product_its_pack_and_its_price_come_in_one_row() -> None:
    (one,) = judged(
        {"code": "SL-2", "name": "Sealant white", "kind": "sealant",
         "merchant": "North", "pack": "tube", "holds": "0.31", "price": "6.5"},
    )  # fmt: skip

    assert one.verdict == "new product"
    assert [type(step) for step in one.steps] == [ProductStep, PackStep, PriceStep]


def test_a_row_may_build_on_the_one_before() -> None:
    first, second, third = judged(
        {"code": "SL-2", "name": "Sealant white", "kind": "sealant"},
        {"code": "SL-2", "merchant": "North", "pack": "tube", "holds": "0.31"},
        {"code": "SL-2", "price": "6.5"},
    )

    assert [first.verdict, second.verdict, third.verdict] == [
        "new product", "new pack", "new price",
    ]  # fmt: skip


def test_a_name_or_facts_of_their_own_change_the_product() -> None:
    (one,) = judged({"code": "SL-1", "name": "Sealant slate"})

    (step,) = one.steps
    assert isinstance(step, ProductStep)
    assert (one.verdict, step.name, step.is_new) == ("changed", "Sealant slate", False)


@pytest.mark.parametrize(
    ("row", "sentence"),
    [
        ({"price": "12"}, "names no code"),
        ({"merchant": "Quay Tiles", "merchant_code": "0000"}, "names no code"),
        ({"code": "XX-9", "price": "12"}, "no product XX-9; to add it"),
        ({"code": "OLD-1", "name": "Old", "kind": "grout"}, "no longer in use"),
        ({"code": "SL-1", "kind": "grout"}, "is a sealant, not a grout"),
        ({"code": "SL-1", "price": "1,250"}, "no commas"),
        ({"code": "SL-1", "price": "-1"}, "not below nothing"),
        ({"code": "SL-1", "price": "=1+1"}, "is not an amount"),
        ({"code": "SL-1", "price": "12", "currency": "USD"}, "in GBP, not USD"),
        ({"code": "SL-1", "price": "12", "pack": "tub"}, "no pack that the row"),
        ({"code": "SL-1", "merchant": "North", "pack": "tub"}, "needs what it holds"),
        ({"code": "SL-1", "holds": "6", "price": "9"}, "holds 5, not 6"),
        (
            {"code": "SL-1", "price": "9", "valid_from": "2026-06-01",
             "valid_until": "2026-05-01"},
            "lies before",
        ),
        ({"code": "ZZ", "name": "Z", "kind": "unheard"}, "unheard"),
    ],
)  # fmt: skip
def test_a_row_that_cannot_be_taken_says_why(
    row: dict[str, str], sentence: str
) -> None:
    (one,) = judged(row)

    assert (one.verdict, one.steps) == ("refused", ())
    assert sentence in one.sentence


def test_two_packs_ask_for_the_name_of_one() -> None:
    both = listed(pack(), pack("bag 25 kg", code="4712"))
    unnamed, named = judged(
        {"code": "SL-1", "price": "9"},
        {"code": "SL-1", "pack": "bag 25 kg", "price": "9"},
        prices=both,
    )

    assert "has 2 packs that the row could mean" in unnamed.sentence
    assert (named.pack, named.after) == ("bag 25 kg", 90_000)


def test_two_rows_about_one_price_agree_or_the_second_is_refused() -> None:
    first, again, other = judged(
        {"code": "SL-1", "price": "13"},
        {"code": "SL-1", "price": "13"},
        {"code": "SL-1", "price": "14"},
    )

    assert [first.verdict, again.verdict, other.verdict] == [
        "changed", "same", "refused",
    ]  # fmt: skip
    assert other.sentence == "Line 2 gives the same pack another price."


def test_a_slip_of_the_decimal_point_is_pointed_at() -> None:
    (one,) = judged({"code": "SL-1", "price": "132"})

    assert one.verdict == "changed"
    assert "decimal point" in one.sentence


def test_taking_the_same_rows_again_changes_nothing() -> None:
    rows = [{"code": "SL-1", "price": "13.2", "valid_from": "2026-05-01"}]
    after = listed(
        pack(
            "bag 5 kg",
            DatedPrice(valid_from=date(2026, 1, 1), amount=120_000),
            DatedPrice(valid_from=date(2026, 5, 1), amount=132_000),
        )
    )

    assert [one.verdict for one in judged(*rows)] == ["changed"]
    assert [one.verdict for one in judged(*rows, prices=after)] == ["same"]

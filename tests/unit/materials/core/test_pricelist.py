"""The price that holds on a date, for a number of packs."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest

from materials.core.errors import OutOfRange, Unknown
from materials.core.pricelist import (
    DatedPrice,
    ListedMaterial,
    ListedPack,
    PriceList,
    catalogue_on,
    facts_on,
    kept_content,
    material_of,
    price_on,
    priced_packs,
)

SPRING, SUMMER = date(2026, 3, 1), date(2026, 6, 1)


def a_pack(*prices: DatedPrice) -> ListedPack:
    return ListedPack(key="G/1", label="bag", content=Fraction(5), prices=prices)


def a_material(*prices: DatedPrice) -> ListedMaterial:
    return ListedMaterial(
        code="G", name="Grout", kind="grout", facts={}, packs=(a_pack(*prices),)
    )


OLD = DatedPrice(valid_from=date(2026, 1, 1), amount=100_000)
NEW = DatedPrice(valid_from=SPRING, amount=110_000)
BULK = DatedPrice(valid_from=SPRING, amount=90_000, least_packs=10)
ENDED = DatedPrice(
    valid_from=date(2026, 1, 1), valid_until=date(2026, 1, 31), amount=50_000
)


@pytest.mark.parametrize(
    ("on", "packs", "amount"),
    [
        (date(2026, 2, 28), 1, 100_000),
        (SPRING, 1, 110_000),
        (SUMMER, 9, 110_000),
        (SUMMER, 10, 90_000),
    ],
)
def test_the_latest_price_and_the_break_reached_hold(
    on: date, packs: int, amount: int
) -> None:
    price = price_on(a_pack(OLD, BULK, NEW), on, packs=packs)

    assert price is not None
    assert price.amount == amount


def test_a_price_that_has_ended_holds_no_longer() -> None:
    assert price_on(a_pack(ENDED), date(2026, 1, 31)) is ENDED
    assert price_on(a_pack(ENDED), date(2026, 2, 1)) is None


def test_a_material_on_a_date_has_its_price_and_its_breaks() -> None:
    facts = facts_on(a_material(OLD, NEW, BULK), SUMMER)

    assert [(pack.price, pack.breaks) for pack in facts.packs] == [
        (110_000, ((10, 90_000),))
    ]
    assert facts.packs[0].valid_from == "2026-03-01"


def test_a_price_missing_on_the_date_is_refused_where_it_is_needed() -> None:
    facts = facts_on(a_material(NEW), date(2026, 2, 1))

    assert facts.packs == ()
    with pytest.raises(OutOfRange, match="no price on 2026-02-01"):
        priced_packs(facts, date(2026, 2, 1))


def test_packs_with_a_price_are_given_as_they_are() -> None:
    facts = facts_on(a_material(NEW), SUMMER)

    assert priced_packs(facts, SUMMER) == facts.packs


def test_an_unknown_product_is_refused() -> None:
    catalogue = catalogue_on(
        PriceList(currency="USD", materials=(a_material(),)), SUMMER
    )

    assert material_of(catalogue, "G").name == "Grout"
    with pytest.raises(Unknown, match="not in the price list"):
        material_of(catalogue, "X")


def test_what_a_pack_holds_is_kept_to_a_millionth() -> None:
    # 50 lb in kilograms (NIST: 1 lb is 0.453 592 37 kg exactly) has seven decimals.
    assert kept_content(50 * Fraction("0.45359237")) == Fraction("22.679619")
    assert kept_content(Fraction(20)) == 20

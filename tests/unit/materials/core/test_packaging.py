"""What packs hold, and the cheapest whole packs for a need."""

from __future__ import annotations

from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.core.errors import NotANumber, NothingInTheBox, OutOfRange
from materials.core.need import PackFacts
from materials.core.packaging import (
    PackChoice,
    amount,
    cheapest_packs,
    from_own_unit,
    in_own_unit,
    own_unit,
)


def a_pack(
    key: str, content: str | int, price: int, **more: tuple[tuple[int, int], ...]
) -> PackFacts:
    return PackFacts(key=key, label=key, content=Fraction(content), price=price, **more)


def counts(choice: PackChoice) -> dict[str, int]:
    return {item.pack.key: item.count for item in choice.packs}


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("25", "kg", Fraction(25)),
        ("25 kg", "kg", Fraction(25)),
        ("50 lb", "kg", Fraction("22.6796185")),
        ("10.1 fl oz", "ml", Fraction("10.1") * Fraction("29.5735295625")),
        ("3 1/2 gal", "l", Fraction("3.5") * Fraction("3.785411784")),
        ("95 sq ft", "m2", 95 * Fraction("0.09290304")),
        ("33 ft", "m", 33 * Fraction("0.3048")),
        ("8 m²", "m2", Fraction(8)),
        ("33", "each", Fraction(33)),
    ],
)
def test_a_content_is_read_with_its_unit(text: str, unit: str, value: Fraction) -> None:
    assert amount(text, unit) == value


@pytest.mark.parametrize("text", ["", "kg", "NaN", "1e3 kg", "٢٥ kg", "5" * 41])
def test_what_is_no_amount_is_refused(text: str) -> None:
    with pytest.raises(NotANumber):
        amount(text, "kg")


def test_a_unit_that_measures_something_else_is_refused() -> None:
    with pytest.raises(OutOfRange, match="does not measure"):
        amount("5 l", "kg")


def test_the_cheapest_mix_is_not_the_largest_pack_alone() -> None:
    bag, tub = a_pack("25", 25, 200_000), a_pack("5", 5, 60_000)

    choice = cheapest_packs(Fraction(33), [bag, tub])

    assert counts(choice) == {"25": 1, "5": 2}
    assert choice.cost == 320_000
    assert choice.left_over == 2
    assert choice.left_over_cost == Fraction(2, 35) * 320_000


def test_one_large_pack_can_be_cheaper_than_what_fits_exactly() -> None:
    bag, tub = a_pack("25", 25, 200_000), a_pack("5", 5, 60_000)

    assert counts(cheapest_packs(Fraction(20), [bag, tub])) == {"25": 1}


def test_equal_money_buys_what_leaves_least_over() -> None:
    large, small = a_pack("10", 10, 100), a_pack("4", 4, 40)

    assert counts(cheapest_packs(Fraction(12), [large, small])) == {"4": 3}


def test_no_need_buys_nothing() -> None:
    choice = cheapest_packs(Fraction(0), [a_pack("10", 10, 100)])

    assert (choice.packs, choice.cost, choice.left_over_cost) == ((), 0, 0)


def test_what_a_plan_has_counted_is_bought_at_least() -> None:
    packs = [a_pack("10", 10, 90), a_pack("4", 4, 50)]

    assert counts(cheapest_packs(Fraction(12), packs)) == {"10": 1, "4": 1}
    least = cheapest_packs(Fraction(12), packs, least={"4": 2})
    assert counts(least) == {"4": 3}


def test_a_price_break_is_worth_one_pack_more() -> None:
    pack = a_pack("10", 10, 100, breaks=((4, 70),))

    choice = cheapest_packs(Fraction(30), [pack])

    assert counts(choice) == {"10": 4}
    assert choice.cost == 280


def test_a_price_break_out_of_reach_is_left() -> None:
    pack = a_pack("10", 10, 100, breaks=((10, 70),))

    assert cheapest_packs(Fraction(30), [pack]).cost == 300


def test_no_pack_at_all_is_refused() -> None:
    with pytest.raises(NothingInTheBox):
        cheapest_packs(Fraction(1), [])


def test_a_pack_that_holds_nothing_is_refused() -> None:
    with pytest.raises(NothingInTheBox):
        cheapest_packs(Fraction(1), [a_pack("0", 0, 100)])


def test_free_packs_are_bought_as_few_as_may_be() -> None:
    choice = cheapest_packs(Fraction(33), [a_pack("10", 10, 0), a_pack("4", 4, 0)])

    assert choice.left_over == 1
    assert counts(choice) == {"10": 3, "4": 1}


packs_strategy = st.lists(
    st.tuples(st.integers(1, 12), st.integers(1, 40)), min_size=1, max_size=3
)


@given(packs_strategy, st.integers(1, 60), st.integers(1, 7))
def test_the_choice_equals_the_best_of_all_mixes(
    rows: list[tuple[int, int]], need: int, part: int
) -> None:
    wanted = Fraction(need, part)
    packs = [
        a_pack(str(place), content, price)
        for place, (content, price) in enumerate(rows)
    ]
    most = [-(-wanted // content) for content, _ in rows]

    best = min(
        (
            sum(n * price for n, (_, price) in zip(mix, rows, strict=True)),
            sum(n * content for n, (content, _) in zip(mix, rows, strict=True)),
            sum(mix),
        )
        for mix in product(*(range(int(limit) + 1) for limit in most))
        if sum(n * content for n, (content, _) in zip(mix, rows, strict=True)) >= wanted
    )

    choice = cheapest_packs(wanted, packs)
    found = (choice.cost, choice.content, sum(item.count for item in choice.packs))
    assert found == best


@pytest.mark.parametrize(
    ("unit", "own", "one"),
    [
        ("kg", "lb", "0.45359237"),
        ("l", "gal", "3.785411784"),
        ("ml", "fl oz", "29.5735295625"),
        ("m", "ft", "0.3048"),
        ("m2", "sq ft", "0.09290304"),
    ],
)
def test_a_business_in_feet_reads_and_types_its_own_units(
    unit: str, own: str, one: str
) -> None:
    # NIST Handbook 44, Appendix C: each of these is exact.
    assert own_unit(unit, "imperial") == own
    assert own_unit(unit, "metric") == unit
    assert in_own_unit(Fraction(one) * 7, unit, "imperial") == 7
    assert from_own_unit(Fraction(7), unit, "imperial") == Fraction(one) * 7
    assert in_own_unit(Fraction(7), unit, "metric") == 7


def test_what_is_counted_needs_no_other_unit() -> None:
    assert own_unit("sheet", "imperial") == "sheet"
    assert from_own_unit(Fraction(3), "each", "imperial") == 3

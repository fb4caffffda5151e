"""A job takes its budget over from the accepted option."""

from __future__ import annotations

import dataclasses
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from moneyed import Money

from jobs.core.bills import Contract
from jobs.core.budget import agreed_lines, budget_rows, from_json, taken_over, to_json
from materials.core.errors import Unknown
from quotes.core.document import (
    BoughtPack,
    Hours,
    Line,
    OfferedLine,
    Option,
    Party,
    Quote,
    TaxPart,
    Totals,
)
from quotes.core.tax import tax_lines


def usd(text: str) -> Money:
    return Money(text, "USD")


TILE = Line(
    key="material:tile",
    cost_class="materials",
    text="Wall tile",
    cost=usd("140.00"),
    price=usd("175.00"),
    section="tile",
    material="WT",
    quantity=Fraction("3.3"),
    unit="m2",
    packs=(
        BoughtPack(
            key="1",
            label="box",
            count=4,
            content=Fraction(1),
            each=usd("35.00"),
            cost=usd("140.00"),
        ),
    ),
    trimmed_off=usd("12.00"),
)
SET = Line(
    key="labour:set",
    cost_class="labour",
    text="Set wall tile",
    cost=usd("184.00"),
    price=usd("230.00"),
    section="tile",
    quantity=Fraction(4),
    unit="h",
    hours=(
        Hours(role="setter", hours=Fraction(3), wage=usd("50.00")),
        Hours(role="helper", hours=Fraction(1), wage=usd("34.00")),
    ),
)
SKIP = Line(
    key="skip",
    cost_class="disposal",
    text="Skip",
    cost=usd("90.00"),
    price=usd("100.00"),
    section="tile",
)
ASIDE = Line(
    key="contingency",
    cost_class="contingency",
    text="Set aside",
    cost=usd("20.00"),
    price=usd("25.00"),
    section="tile",
)
OPTION = Option(
    key="a",
    label="Option A",
    lines=(TILE, SET, SKIP, ASIDE),
    offered=(
        OfferedLine(
            key="tile",
            text="Wall tile, set",
            price=usd("530.00"),
            parts=(
                TaxPart(category="S", rate=Fraction("0.0625"), base=usd("175.00")),
                TaxPart(category="O", rate=Fraction(0), base=usd("355.00")),
            ),
            quantity=Fraction("3.3"),
            unit="m2",
        ),
    ),
    taxes=(),
    classes=(),
    totals=Totals(
        cost=usd("414.00"),
        contingency=usd("20.00"),
        net=usd("530.00"),
        tax=usd("10.94"),
        gross=usd("540.94"),
        profit=usd("96.00"),
        margin=Fraction(96, 530),
        trimmed_off=usd("12.00"),
        setter_hours=Fraction(3),
        helper_hours=Fraction(1),
        days=1,
    ),
    stages=(),
)
QUOTE = Quote(
    title="Kitchen wall",
    business=Party(name="Marl & Sons"),
    client=Party(name="Mrs Okafor"),
    site=("14 Weir Lane",),
    scope=(),
    options=(OPTION,),
    currency="USD",
    system="imperial",
    priced_on=date(2026, 5, 1),
    holds_until=date(2026, 5, 31),
    tax_name="Sales tax",
    tax_basis="document",
    number="Q-0147",
    revision="B",
    payment_days=14,
)


def test_the_content_of_whole_packs_is_what_the_cost_pays_for() -> None:
    row = budget_rows(OPTION)[0]

    assert row.quantity == Fraction(4)
    assert row.needed == Fraction("3.3")
    assert (row.pack_count, row.packs) == (4, (("box", 4),))
    assert row.trimmed_off == usd("12.00")


def test_hours_of_both_roles_are_one_quantity() -> None:
    assert budget_rows(OPTION)[1].quantity == Fraction(4)


def test_a_lump_counts_as_one() -> None:
    assert budget_rows(OPTION)[2].quantity == Fraction(1)


def test_what_is_only_set_aside_is_no_budget() -> None:
    assert [row.key for row in budget_rows(OPTION)] == [
        "material:tile",
        "labour:set",
        "skip",
    ]


def test_the_contract_comes_to_what_was_quoted() -> None:
    contract = Contract(agreed=agreed_lines(OPTION), currency="USD")

    assert contract.totals.net == OPTION.totals.net
    assert contract.totals.tax == OPTION.totals.tax
    assert contract.totals.gross == OPTION.totals.gross


OFFERED = st.lists(
    st.lists(
        st.tuples(
            st.integers(-50_000, 500_000),
            st.sampled_from(["0.2", "0.0625", "0.0725", "0.055", "0"]),
        ),
        min_size=1,
        max_size=3,
        unique_by=lambda pair: pair[1],
    ),
    min_size=1,
    max_size=8,
)


@given(OFFERED, st.sampled_from(["document", "line"]))
def test_invoice_and_quote_work_out_the_same_tax(
    rows: list[list[tuple[int, str]]], basis: str
) -> None:
    offered = tuple(
        OfferedLine(
            key=str(place),
            text="work",
            price=usd("0.00"),
            parts=tuple(
                TaxPart(
                    category="S" if rate != "0" else "O",
                    rate=Fraction(rate),
                    base=Money(Decimal(cents).scaleb(-2), "USD"),
                )
                for cents, rate in parts
            ),
        )
        for place, parts in enumerate(rows)
    )
    quoted = tax_lines(offered, basis=basis, code="USD")
    option = dataclasses.replace(OPTION, offered=offered)

    sums = Contract(agreed=agreed_lines(option), currency="USD", basis=basis).totals

    assert sums.tax.amount == sum(line.tax.amount for line in quoted)
    assert sums.net.amount == sum(line.base.amount for line in quoted)


def test_the_parts_of_one_line_stay_together() -> None:
    parts = agreed_lines(OPTION)

    assert [part.group for part in parts] == ["tile", "tile"]
    assert len({part.key for part in parts}) == 2
    assert parts[0].detail == "3.3 m2"


def test_a_stored_budget_is_read_back_equal() -> None:
    budget = taken_over(QUOTE, "a")

    assert budget.quote == "Q-0147 B"
    assert from_json(to_json(budget)) == budget


def test_an_option_that_was_not_offered_is_refused() -> None:
    with pytest.raises(Unknown):
        taken_over(QUOTE, "z")


def test_another_format_is_refused() -> None:
    with pytest.raises(Unknown):
        from_json({"format": "other"})

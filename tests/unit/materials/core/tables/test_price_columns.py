"""The columns of the table of prices, and what one row says."""

from __future__ import annotations

from datetime import date

import pytest

from materials.core.errors import NotANumber, OutOfRange, Refusal, Unknown
from materials.core.tables.price_columns import (
    PriceRow,
    facts_text,
    read_facts_text,
    read_rows,
)


def row(**cells: str) -> PriceRow:
    return PriceRow(line=2, cells=cells)


def test_columns_stand_in_any_order_and_headings_are_read_kindly() -> None:
    rows = read_rows([["Price", " Merchant code", "", "code"], ["12", "", "x", "A"]])

    assert rows == [PriceRow(line=2, cells={"price": "12", "code": "A"})]


def test_blank_rows_are_passed_by_and_lines_keep_their_number() -> None:
    rows = read_rows([["code"], [], [" "], ["A"]])

    assert [(one.line, one.text("code")) for one in rows] == [(4, "A")]


def test_an_unknown_column_names_those_there_are() -> None:
    with pytest.raises(Unknown, match="no column “colour”; it has code, name, kind"):
        read_rows([["code", "colour"], ["A", "red"]])
    with pytest.raises(Unknown, match="“code” stands twice"):
        read_rows([["code", "Code"], ["A", "B"]])
    with pytest.raises(Refusal, match="has no rows"):
        read_rows([["code"]])


def test_cells_are_read_as_what_they_are() -> None:
    assert row(valid_from="2026-05-31").day("valid_from") == date(2026, 5, 31)
    assert row().day("valid_from") is None
    assert row(returnable="No").yes("returnable", default=True) is False
    assert row().yes("returnable", default=True) is True
    assert row(least_packs="20").whole("least_packs", default=1, least=1) == 20


@pytest.mark.parametrize("text", ["31.05.2026", "2026-02-30", "1926-05-31", "20260531"])
def test_a_day_written_otherwise_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(OutOfRange, match="a day such as 2026-05-31"):
        row(valid_from=text).day("valid_from")


def test_a_count_below_its_least_or_no_count_is_refused() -> None:
    for text in ("0", "-1", "1.5", "²"):
        with pytest.raises(NotANumber, match="whole number from 1"):
            row(least_packs=text).whole("least_packs", default=1, least=1)
    with pytest.raises(Unknown, match="yes or no"):
        row(returnable="may").yes("returnable", default=True)
    with pytest.raises(OutOfRange, match="code has 41 letters; at most 40"):
        row(code="x" * 41).text("code")


@pytest.mark.parametrize(
    "facts",
    [
        {"length": "600 mm", "width": '11 3/4"', "pieces_a_box": 7},
        {"note": "a; b", "formula": "x = y"},
        {},
    ],
)
def test_facts_come_back_as_they_went(facts: dict[str, object]) -> None:
    found = read_facts_text(facts_text(facts))

    assert {name: str(value) for name, value in found.items()} == {
        name: str(value) for name, value in facts.items()
    }


@pytest.mark.parametrize(
    ("text", "number"),
    [("12,50", "12.50"), ("1,5 m2", "1.5 m2"), ("1,250", "1,250"), ("1.5", "1.5")],
)
def test_a_decimal_comma_is_read_and_thousands_are_not_guessed(
    text: str, number: str
) -> None:
    assert row(price=text).number("price") == number


def test_facts_that_are_no_list_of_facts_are_refused() -> None:
    for text in ("600 mm", "length =", "{broken", "[1]"):
        with pytest.raises(Refusal, match="facts are written as"):
            read_facts_text(text)


def test_yes_and_no_are_written_as_words() -> None:
    assert facts_text({"foldable": True}) == "foldable = yes"

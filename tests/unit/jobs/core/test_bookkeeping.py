"""Entries of the books: a final account counts for what is new in it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from moneyed import Money

from jobs.core.bills import Agreed, Contract, Earlier, final_bill, share_bill
from jobs.core.bookkeeping import SALES, entries, percent, sale_row
from jobs.core.document import Heading, Invoice, Letterhead, References, drawn_up
from jobs.core.invoicing import NotInvoiceable, TaxKey
from quotes.core.document import Party

STANDARD = TaxKey(category="S", rate=Fraction("0.2"))
ZERO = TaxKey(category="Z", rate=Fraction(0))
CONTRACT = Contract(
    agreed=(
        Agreed(
            key="a",
            group="a",
            text="Set tile",
            net=Money("900.03", "GBP"),
            tax=STANDARD,
        ),
        Agreed(key="b", group="b", text="Survey", net=Money(100, "GBP"), tax=ZERO),
    ),
    currency="GBP",
)


def pounds(text: str) -> Money:
    return Money(text, "GBP")


def document(bill: object, number: str) -> Invoice:
    heading = Heading(
        number=number,
        title=number,
        issued_on=date(2026, 6, 1),
        due_on=date(2026, 6, 15),
        seller=Letterhead(name="Marl & Sons"),
        buyer=Party(name="Mrs Okafor"),
        site=(),
        references=References(job="J-0001"),
        tax_name="VAT",
        tax_basis="document",
    )
    return drawn_up(bill, heading, groups={}, details={})  # type: ignore[arg-type]


DEPOSIT = document(
    share_bill(CONTRACT, kind="deposit", share=Fraction(1, 3), text="Deposit"), "I-1"
)
FINAL = document(
    final_bill(
        CONTRACT,
        earlier=(
            Earlier(
                number="I-1", text="Deposit", net=DEPOSIT.sums.net,
                tax=DEPOSIT.sums.tax, gross=DEPOSIT.sums.gross,
            ),
        ),
    ),
    "I-2",
)  # fmt: skip


def test_deposit_and_final_account_come_to_the_contract() -> None:
    found = [*entries(DEPOSIT), *entries(FINAL, [("I-1", DEPOSIT)])]

    assert sum((one.net for one in found), pounds("0")) == pounds("1000.03")
    assert sum((one.amount for one in found), pounds("0")) == pounds("180.01")
    zero_rated = [one.net for one in found if one.tax.category == "Z"]
    assert sum(zero_rated, pounds("0")) == pounds("100.00")


def test_what_is_deducted_names_its_invoice() -> None:
    rows = [sale_row(one) for one in entries(FINAL, [("I-1", DEPOSIT)])]
    cells = [dict(zip(SALES, row, strict=True)) for row in rows]

    assert [row["deducts"] for row in cells] == ["", "", "I-1", "I-1"]
    assert cells[2]["net"] == Decimal("-300.01")
    assert cells[2]["gross"] == Decimal("-360.01")
    assert cells[0]["tax_percent"] == Decimal(20)


def test_a_credit_note_counts_below_nothing() -> None:
    note = replace(DEPOSIT, kind="credit")

    assert sum((one.net for one in entries(note)), pounds("0")) == pounds("-333.34")


def test_a_credit_on_the_whole_final_account_gives_back_what_it_deducted() -> None:
    note = replace(FINAL, kind="credit", number="C-1")

    found = [
        *entries(FINAL, [("I-1", DEPOSIT)]), *entries(note, [("I-1", DEPOSIT)]),
    ]  # fmt: skip

    assert sum((one.net for one in found), pounds("0")) == pounds("0")


def test_deductions_that_do_not_come_to_what_is_said_are_refused() -> None:
    with pytest.raises(NotInvoiceable, match=r"I-2 deducts 333\.34"):
        entries(FINAL)


def test_a_rate_has_no_more_decimals_than_it_needs() -> None:
    assert percent(Fraction("0.0825")) == Decimal("8.25")
    assert percent(Fraction(0)) == 0

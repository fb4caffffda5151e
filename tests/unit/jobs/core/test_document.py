"""An issued invoice is read back as it was stored."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest
from moneyed import Money

from jobs.core.bills import Agreed, Contract, Credited, credit_bill, final_bill
from jobs.core.document import (
    Heading,
    Invoice,
    Letterhead,
    References,
    as_bill,
    digest,
    drawn_up,
    from_json,
    to_json,
)
from jobs.core.invoicing import TaxKey
from materials.core.errors import Unknown
from quotes.core.document import Party

CONTRACT = Contract(
    agreed=(
        Agreed(
            key="a/0",
            group="a",
            text="Set wall tile",
            net=Money("1000.01", "USD"),
            tax=TaxKey(category="S", rate=Fraction("0.0825")),
            detail="12 m²",
        ),
        Agreed(
            key="a/1",
            group="a",
            text="Set wall tile",
            net=Money("-20.00", "USD"),
            tax=TaxKey(category="E", rate=Fraction(0)),
        ),
    ),
    currency="USD",
)
HEADING = Heading(
    number="I-2026-0001",
    title="Final invoice",
    issued_on=date(2026, 6, 1),
    due_on=date(2026, 6, 15),
    seller=Letterhead(name="Marl & Sons", lines=("1 Quay",)),
    buyer=Party(name="Mrs Okafor"),
    site=("14 Weir Lane",),
    references=References(job="J-0001"),
    tax_name="Sales tax",
    tax_basis="document",
)


def invoice() -> Invoice:
    return drawn_up(
        final_bill(CONTRACT),
        HEADING,
        groups={item.key: item.group for item in CONTRACT.agreed},
        details={item.key: item.detail for item in CONTRACT.agreed},
    )


def test_what_was_stored_is_read_back_equal() -> None:
    assert from_json(to_json(invoice())) == invoice()


def test_the_document_carries_the_sums_of_its_bill() -> None:
    sums = final_bill(CONTRACT).totals

    assert invoice().sums.gross == sums.gross
    assert [line.group for line in invoice().lines] == ["a", "a"]
    assert invoice().type_code == "380"


def test_the_bill_behind_a_document_is_mirrored_to_the_cent() -> None:
    zero = Money("0.00", "USD")

    note = credit_bill(
        as_bill(invoice()), credited=Credited(nets={}, taxes={}, due=zero)
    )

    assert note.totals == final_bill(CONTRACT).totals


def test_one_changed_letter_changes_the_digest() -> None:
    other = to_json(invoice()) | {"title": "Final invoicf"}

    assert digest(from_json(other)) != digest(invoice())


def test_another_format_is_refused() -> None:
    with pytest.raises(Unknown):
        from_json(to_json(invoice()) | {"format": "other"})

"""Bills drawn from a contract add up to it, however it is split."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from moneyed import Money

from jobs.core.bills import (
    Agreed,
    Bill,
    Contract,
    Credited,
    Earlier,
    credit_bill,
    final_bill,
    part_bill,
    share_bill,
)
from jobs.core.invoicing import NotInvoiceable, TaxKey

GOODS = TaxKey(category="S", rate=Fraction("0.0625"))
LABOUR = TaxKey(category="E", rate=Fraction(0))
ZERO = Money("0.00", "USD")
FRESH = Credited(nets={}, taxes={}, due=ZERO)


def usd(text: str) -> Money:
    return Money(text, "USD")


def agreed(key: str, net: str, tax: TaxKey) -> Agreed:
    return Agreed(key=key, group=key, text=f"Work {key}", net=usd(net), tax=tax)


SHOWER = Contract(
    agreed=(
        agreed("goods", "2257.13", GOODS),
        agreed("labour", "3682.87", LABOUR),
    ),
    currency="USD",
)


def earlier(bill: Bill, number: str = "I-1") -> Earlier:
    sums = bill.totals
    return Earlier(
        number=number, text="earlier", net=sums.net, tax=sums.tax, gross=sums.gross
    )


def deposit(share: str, before: tuple[Earlier, ...] = ()) -> Bill:
    return share_bill(
        SHOWER, kind="deposit", share=Fraction(share), text="Deposit", earlier=before
    )


CONTRACTS = st.builds(
    lambda rows: Contract(
        agreed=tuple(
            Agreed(
                key=str(place),
                group=str(place),
                text="work",
                net=Money(Decimal(cents).scaleb(-2), "USD"),
                tax=tax,
            )
            for place, (cents, tax) in enumerate(rows)
        ),
        currency="USD",
    ),
    st.lists(
        st.tuples(
            st.integers(1, 10**7),
            st.one_of(
                st.just(LABOUR),
                st.integers(1, 300).map(
                    lambda n: TaxKey(category="S", rate=Fraction(n, 1200))
                ),
            ),
        ),
        min_size=1,
        max_size=6,
    ),
)


def test_a_deposit_and_a_stage_leave_the_rest_for_the_final_bill() -> None:
    first = deposit("0.3")
    second = share_bill(
        SHOWER,
        kind="stage",
        share=Fraction("0.4"),
        text="Floor has held water",
        earlier=[earlier(first)],
    )

    last = final_bill(SHOWER, earlier=[earlier(first), earlier(second, "I-2")])

    assert first.totals.gross == usd("1824.32")
    assert second.totals.gross == usd("2432.43")
    assert last.totals.gross == usd("6081.07")
    assert last.totals.due == usd("1824.32")


@given(CONTRACTS, st.lists(st.integers(1, 40), max_size=11))
def test_any_split_comes_to_the_contract(contract: Contract, shares: list[int]) -> None:
    before: list[Earlier] = []
    for place, percent in enumerate(shares):
        try:
            bill = share_bill(
                contract,
                kind="stage",
                share=Fraction(percent, 100),
                text="stage",
                earlier=before,
            )
        except NotInvoiceable:
            break
        before.append(earlier(bill, str(place)))

    last = final_bill(contract, earlier=before)

    asked = sum((item.gross for item in before), last.totals.due)
    assert asked == contract.totals.gross
    assert last.totals.due >= ZERO


@given(CONTRACTS)
def test_a_credit_note_mirrors_its_invoice(contract: Contract) -> None:
    invoice = final_bill(contract)

    note = credit_bill(invoice, credited=FRESH)

    assert [line.net for line in note.lines] == [line.net for line in invoice.lines]
    assert note.totals == invoice.totals


@given(CONTRACTS, st.lists(st.lists(st.integers(0, 100), min_size=6, max_size=6)))
def test_credits_in_parts_come_to_the_invoice(
    contract: Contract, parts: list[list[int]]
) -> None:
    invoice = final_bill(contract)
    nets = {line.key: ZERO for line in invoice.lines}
    taxes = {row.tax: ZERO for row in invoice.totals.rows}
    due = ZERO

    def take(note: Bill) -> None:
        nonlocal due
        for line in note.lines:
            nets[line.key] += line.net
        for row in note.totals.rows:
            taxes[row.tax] += row.amount
        due += note.totals.due

    for part in parts:
        wanted = {}
        for line, percent in zip(invoice.lines, part, strict=False):
            left = int((line.net - nets[line.key]).amount * 100)
            wanted[line.key] = Money(Decimal(left * percent // 100).scaleb(-2), "USD")
        if any(amount != ZERO for amount in wanted.values()):
            credited = Credited(nets=dict(nets), taxes=dict(taxes), due=due)
            take(credit_bill(invoice, credited=credited, wanted=wanted))
    if any(line.net != nets[line.key] for line in invoice.lines):
        take(credit_bill(invoice, credited=Credited(nets=nets, taxes=taxes, due=due)))

    assert nets == {line.key: line.net for line in invoice.lines}
    assert taxes == {row.tax: row.amount for row in invoice.totals.rows}
    assert due == invoice.totals.due


def test_a_credited_final_invoice_gives_back_what_it_asked_for() -> None:
    first = deposit("0.3")
    last = final_bill(SHOWER, earlier=[earlier(first)])

    note = credit_bill(last, credited=FRESH)

    assert note.totals.due == last.totals.due
    assert note.totals.prepaid == last.totals.prepaid
    assert note.earlier == last.earlier


def test_more_than_the_invoice_asks_for_cannot_be_credited() -> None:
    first = deposit("0.9")
    last = final_bill(SHOWER, earlier=[earlier(first)])

    with pytest.raises(NotInvoiceable, match="credit less"):
        credit_bill(last, credited=FRESH, wanted={"labour": usd("3682.87")})


def test_more_than_a_line_cannot_be_credited() -> None:
    with pytest.raises(NotInvoiceable, match="is left of it"):
        credit_bill(
            final_bill(SHOWER), credited=FRESH, wanted={"goods": usd("2257.14")}
        )


def test_a_line_the_invoice_does_not_have_cannot_be_credited() -> None:
    with pytest.raises(NotInvoiceable, match="no line"):
        credit_bill(final_bill(SHOWER), credited=FRESH, wanted={"x": usd("1.00")})


def test_an_invoice_cannot_be_credited_twice() -> None:
    invoice = final_bill(SHOWER)
    done = Credited(
        nets={line.key: line.net for line in invoice.lines},
        taxes={row.tax: row.amount for row in invoice.totals.rows},
        due=invoice.totals.due,
    )

    with pytest.raises(NotInvoiceable, match="Nothing is left"):
        credit_bill(invoice, credited=done)


def test_shares_beyond_the_contract_are_refused() -> None:
    first = deposit("0.7")

    with pytest.raises(NotInvoiceable, match="was agreed"):
        deposit("0.4", (earlier(first),))


@pytest.mark.parametrize("share", ["0", "-0.1", "1.01"])
def test_a_share_that_is_none_is_refused(share: str) -> None:
    with pytest.raises(NotInvoiceable, match="at most 100"):
        deposit(share)


def test_earlier_bills_beyond_the_contract_want_a_credit_note() -> None:
    smaller = Contract(agreed=SHOWER.agreed[:1], currency="USD")

    with pytest.raises(NotInvoiceable, match="credit note"):
        final_bill(smaller, earlier=[earlier(deposit("0.9"))])


def test_a_variation_is_billed_by_its_own_lines() -> None:
    bill = part_bill(SHOWER, keys=["goods"])

    assert bill.totals.gross == usd("2398.20")


def test_a_bill_without_lines_is_refused() -> None:
    with pytest.raises(NotInvoiceable):
        part_bill(SHOWER, keys=["nothing"])
    with pytest.raises(NotInvoiceable):
        final_bill(Contract(agreed=(), currency="USD"))


def test_goods_given_back_stand_as_a_negative_quantity() -> None:
    contract = Contract(
        agreed=(*SHOWER.agreed, agreed("back", "-100.00", GOODS)), currency="USD"
    )

    line = final_bill(contract).lines[-1]

    assert line.quantity == Fraction(-1)
    assert line.price == usd("100.00")
    assert line.net == usd("-100.00")


def test_a_final_share_kind_is_refused() -> None:
    with pytest.raises(NotInvoiceable, match="not a share"):
        share_bill(SHOWER, kind="final", share=Fraction(1, 2), text="x")

"""What is asked for, and when: bills drawn from the contract.

The contract is what the client agreed to: the offered lines of the quote and of
agreed variations, each with its tax parts. A deposit or stage asks for a share of it;
the final bill lists the whole and deducts what earlier ones asked for; a credit note
mirrors what it credits. However it is split, the bills add up to the contract.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from moneyed import Money

from jobs.core.invoicing import (
    Line,
    NotInvoiceable,
    TaxKey,
    TaxRow,
    Totals,
    negative,
    sums_of,
    tax_on,
    tax_rows,
    totals,
)
from materials.core import amounts
from materials.core.quantities import decimal_text

KINDS = {
    "deposit": "386",
    "stage": "326",
    "variation": "380",
    "final": "380",
    "credit": "381",
}
"""Kinds of bill and their document type in UNTDID 1001."""

WHOLE_SUM = "LS"
"""The unit of a lump sum (UN/ECE Recommendation 20)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreed:
    """One agreed amount under one tax rate; `key` is unique in the contract.

    `group` joins the parts of one line as the client reads it.
    """

    key: str
    group: str
    text: str
    net: Money
    tax: TaxKey
    detail: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Contract:
    """All that was agreed, in one currency, with one rule for rounding tax."""

    agreed: tuple[Agreed, ...]
    currency: str
    basis: str = "document"

    @property
    def totals(self) -> Totals:
        """What the whole comes to."""
        return totals(
            [_whole(item) for item in self.agreed],
            currency=self.currency,
            basis=self.basis,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Earlier:
    """An earlier bill of the same job, what was credited already taken off."""

    number: str
    text: str
    net: Money
    tax: Money
    gross: Money
    issued_on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Bill:
    """What one invoice or credit note asks for, before it has a number."""

    kind: str
    lines: tuple[Line, ...]
    totals: Totals
    earlier: tuple[Earlier, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Credited:
    """What earlier credit notes took off an invoice: net per line, tax per rate."""

    nets: Mapping[str, Money]
    taxes: Mapping[TaxKey, Money]
    due: Money


def _whole(item: Agreed) -> Line:
    # A credit inside the contract (goods given back) is a negative quantity: prices
    # below nothing are not allowed in EN 16931 (BR-27).
    sign = -1 if item.net.amount < 0 else 1
    return Line(
        key=item.key,
        text=item.text,
        quantity=Fraction(sign),
        unit=WHOLE_SUM,
        price=item.net if sign > 0 else negative(item.net),
        tax=item.tax,
    )


def share_bill(
    contract: Contract,
    *,
    kind: str,
    share: Fraction,
    text: str,
    earlier: Sequence[Earlier] = (),
) -> Bill:
    """Return a deposit or stage bill for a share of the contract.

    Shape: one line per tax category and rate of the contract.
    Rounds: each rate's net × share, half up; then its tax as on any invoice.
    Raises: NotInvoiceable for a share that is none, or that asks, with the earlier
    bills, for more than the contract.
    """
    if kind not in ("deposit", "stage"):
        raise NotInvoiceable(f"A {kind} bill is not a share of the contract.")
    if not 0 < share <= 1:
        raise NotInvoiceable(
            f"A share of {decimal_text(share * 100, places=4)} % cannot be asked for; "
            "enter more than 0 and at most 100."
        )
    lines = []
    rows = contract.totals.rows
    for place, row in enumerate(rows, start=1):
        net = amounts.percent_of(row.base, share)
        words = text if len(rows) == 1 else f"{text}, {_tax_words(row.tax)}"
        lines.append(
            _whole(
                Agreed(key=f"share-{place}", group="share", text=words, net=net,
                       tax=row.tax)
            )
        )  # fmt: skip
    bill = Bill(
        kind=kind,
        lines=tuple(lines),
        totals=totals(lines, currency=contract.currency, basis=contract.basis),
    )
    _within(contract, bill, earlier)
    return bill


def _tax_words(tax: TaxKey) -> str:
    return f"the part taxed at {tax.percent} %" if tax.rate else "the part without tax"


def _within(contract: Contract, bill: Bill, earlier: Sequence[Earlier]) -> None:
    asked = amounts.total(
        [bill.totals.gross, *(item.gross for item in earlier)], contract.currency
    )
    whole = contract.totals.gross
    if amounts.exact(asked) > amounts.exact(whole):
        raise NotInvoiceable(
            f"With the earlier invoices this asks for {amounts.plain(asked)}, but "
            f"{amounts.plain(whole)} was agreed; lower the share or make the final "
            "invoice."
        )


def part_bill(
    contract: Contract, *, keys: Sequence[str], earlier: Sequence[Earlier] = ()
) -> Bill:
    """Return a bill for some agreed lines in full, such as those of a variation.

    Raises: NotInvoiceable without lines, or for more than is left of the contract.
    """
    lines = tuple(_whole(item) for item in contract.agreed if item.key in keys)
    if not lines:
        raise NotInvoiceable("Choose at least one agreed line to invoice.")
    bill = Bill(
        kind="variation",
        lines=lines,
        totals=totals(lines, currency=contract.currency, basis=contract.basis),
    )
    _within(contract, bill, earlier)
    return bill


def final_bill(contract: Contract, *, earlier: Sequence[Earlier] = ()) -> Bill:
    """Return the final bill: the whole contract, earlier bills deducted.

    What is due is the remainder, so all bills together come to the contract to the
    smallest coin, however it was split.

    Raises: NotInvoiceable without a contract, or if earlier bills ask for more.
    """
    if not contract.agreed:
        raise NotInvoiceable("Nothing was agreed on this job; there is no final sum.")
    lines = tuple(_whole(item) for item in contract.agreed)
    prepaid = amounts.total((item.gross for item in earlier), contract.currency)
    sums = totals(
        lines, currency=contract.currency, prepaid=prepaid, basis=contract.basis
    )
    if sums.due.amount < 0:
        raise NotInvoiceable(
            f"Earlier invoices ask for {amounts.plain(prepaid)}, more than the "
            f"{amounts.plain(sums.gross)} agreed; write a credit note first."
        )
    return Bill(kind="final", lines=lines, totals=sums, earlier=tuple(earlier))


def credit_bill(
    original: Bill, *, credited: Credited, wanted: Mapping[str, Money] | None = None
) -> Bill:
    """Return a credit note: what it mirrors, with the same signs, to be taken off.

    Without `wanted` everything not yet credited is taken off; with it, so much of
    each line. The last credit of a rate takes what is left of its tax, so credits
    come to the invoice to the smallest coin, however they are split.

    Raises: NotInvoiceable if nothing is left, or more is wanted than is left.
    """
    left = {line.key: _less(line.net, credited.nets.get(line.key))
            for line in original.lines}  # fmt: skip
    takes = left if wanted is None else dict(wanted)
    _check_wanted(original, left=left, takes=takes)
    lines = tuple(
        _credit_line(line, takes[line.key])
        for line in original.lines
        if line.key in takes and takes[line.key].amount != 0
    )
    if not lines:
        raise NotInvoiceable("Nothing is left to credit on this invoice.")
    code = original.totals.net.currency.code
    all_taken = all(takes.get(key, amounts.zero(code)) == net
                    for key, net in left.items())  # fmt: skip
    rows = _credit_rows(original, lines=lines, takes=takes, credited=credited)
    gross = amounts.total(
        [*(row.base for row in rows), *(row.amount for row in rows)], code
    )
    due_left = _less(original.totals.due, credited.due)
    prepaid = _less(gross, due_left) if all_taken else amounts.zero(code)
    sums = sums_of(
        rows,
        lines=amounts.total((line.net for line in lines), code),
        allowances=amounts.zero(code),
        charges=amounts.zero(code),
        prepaid=prepaid,
        rounding=amounts.zero(code),
    )
    if amounts.exact(sums.due) > amounts.exact(due_left):
        raise NotInvoiceable(
            f"This credits {amounts.plain(sums.due)}, but the invoice asks for "
            f"{amounts.plain(due_left)}; credit less, or the earlier invoices too."
        )
    earlier = original.earlier if all_taken else ()
    return Bill(kind="credit", lines=lines, totals=sums, earlier=earlier)


def _check_wanted(
    original: Bill, *, left: Mapping[str, Money], takes: Mapping[str, Money]
) -> None:
    texts = {line.key: line.text for line in original.lines}
    for key, amount in takes.items():
        if key not in left:
            raise NotInvoiceable(f"The invoice has no line “{key[:40]}” to credit.")
        whole, part = amounts.exact(left[key]), amounts.exact(amount)
        if not (0 <= part <= whole or whole <= part <= 0):
            raise NotInvoiceable(
                f"{amounts.plain(amount)} cannot be credited on “{texts[key][:40]}”: "
                f"{amounts.plain(left[key])} is left of it."
            )


def _credit_line(line: Line, amount: Money) -> Line:
    if amount == line.net:
        return line
    sign = -1 if amount.amount < 0 else 1
    return Line(
        key=line.key,
        text=line.text,
        quantity=Fraction(sign),
        unit=WHOLE_SUM,
        price=amount if sign > 0 else negative(amount),
        tax=line.tax,
    )


def _credit_rows(
    original: Bill,
    *,
    lines: Sequence[Line],
    takes: Mapping[str, Money],
    credited: Credited,
) -> tuple[TaxRow, ...]:
    code = original.totals.net.currency.code
    rows = []
    fresh = tax_rows([(line.tax, line.net) for line in lines], currency=code)
    for row in fresh:
        whole = next(item for item in original.totals.rows if item.tax == row.tax)
        tax_left = _less(whole.amount, credited.taxes.get(row.tax))
        own = [line for line in original.lines if line.tax == row.tax]
        is_last = all(
            _less(line.net, credited.nets.get(line.key))
            == takes.get(line.key, amounts.zero(code))
            for line in own
        )
        amount = tax_left if is_last else _nearer(tax_on(row.base, row.tax), tax_left)
        rows.append(TaxRow(tax=row.tax, base=row.base, amount=amount))
    return tuple(rows)


def _nearer(amount: Money, bound: Money) -> Money:
    """Return the amount, or the bound where it would go beyond it."""
    if abs(amounts.exact(amount)) > abs(amounts.exact(bound)):
        return bound
    return amount


def _less(amount: Money, taken: Money | None) -> Money:
    if taken is None:
        return amount
    code = amount.currency.code
    return amounts.total([amount, negative(taken)], code)

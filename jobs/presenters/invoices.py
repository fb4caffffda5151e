"""Invoices as listed, as a page and as paper: one set of records for both."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from django.utils.translation import gettext as _
from moneyed import Money

from jobs.core import document as documents
from jobs.core.bills import Credited, Earlier
from jobs.core.invoicing import negative
from jobs.core.statement import days_overdue
from jobs.models import Invoice
from jobs.queries.invoice_lists import InvoiceFacts, Statement
from materials.core import amounts
from materials.core.drawing.charts import Share, draw_shares
from materials.core.drawing.records import Frame
from materials.core.drawing.style import SCREEN
from materials.core.quantities import decimal_text
from materials.presenters import money_words, percent_words
from quotes.core.document import Stage


@dataclass(frozen=True, slots=True, kw_only=True)
class InvoiceListed:
    """One row of a list of invoices."""

    uid: str
    number: str
    title: str
    client: str
    job: str
    state: str
    is_credit: bool
    issued_on: date | None
    due_on: date | None
    due: Money
    open: Money
    days_late: int
    too_much: Money | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ColumnHead:
    """A column of amounts before tax, by the rate they are taxed at.

    Shape: there are columns only where rates differ. With one rate the amounts stand
    once: a column under the tax's name would read as the tax itself.
    """

    word: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkRow:
    """One agreed line: its amount under each tax, and in all."""

    text: str
    detail: str
    parts: tuple[Money, ...]
    amount: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class TaxRow:
    """One tax: its word, its base and its amount."""

    word: str
    base: Money
    amount: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class EarlierRow:
    """One earlier invoice that is deducted, with the tax it already asked for."""

    number: str
    text: str
    issued_on: date | None
    net: Money
    tax: Money
    gross: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class InvoiceSheet:
    """An invoice or credit note as it is read; also of a draft, without a number."""

    number: str
    title: str
    is_credit: bool
    currency: str
    issued_on: date | None
    due_on: date | None
    columns: tuple[ColumnHead, ...]
    rows: tuple[WorkRow, ...]
    column_sums: tuple[Money, ...]
    taxes: tuple[TaxRow, ...]
    earlier: tuple[EarlierRow, ...]
    net_now: Money
    tax_now: Money
    net: Money
    tax: Money
    gross: Money
    prepaid: Money
    due: Money
    seller: documents.Letterhead | None = None
    buyer: tuple[str, ...] = ()
    site: tuple[str, ...] = ()
    references: documents.References | None = None
    terms: tuple[str, ...] = ()
    tax_name: str = ""
    tax_basis: str = ""
    digest: str = ""
    bar: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StatementSheet:
    """What is open by age, a table for each currency."""

    rows: tuple[InvoiceListed, ...]
    ages: tuple[tuple[str, tuple[tuple[str, Money], ...], Money], ...]


def invoice_listed(row: InvoiceFacts, *, on: date) -> InvoiceListed:
    """Return an invoice as a row of a list."""
    is_credit, left, late = row.kind == Invoice.Kind.CREDIT, row.open, 0
    if row.due_on is not None and left.amount > 0 and not is_credit:
        late = days_overdue(row.due_on, on)
    return InvoiceListed(
        uid=str(row.uid),
        number=row.number or _("draft"),
        title=row.title,
        client=row.client,
        job=row.job,
        state=row.state,
        is_credit=is_credit,
        issued_on=row.issued_on,
        due_on=row.due_on,
        due=row.due,
        open=amounts.zero(left.currency.code) if is_credit else left,
        too_much=amounts.from_units(-amounts.to_units(left), left.currency.code)
        if left.amount < 0 and not is_credit
        else None,
        days_late=late,
    )


def statement_sheet(statement: Statement, *, on: date) -> StatementSheet:
    """Return a statement as it is read."""
    words = {
        "not_due": _("not due yet"),
        "to_30": _("1 to 30 days late"),
        "to_60": _("31 to 60"),
        "to_90": _("61 to 90"),
        "over_90": _("over 90"),
    }
    return StatementSheet(
        rows=tuple(invoice_listed(row, on=on) for row in statement.invoices),
        ages=tuple(
            (
                code,
                tuple((words[name], money) for name, money in aged.columns),
                aged.total,
            )
            for code, aged in statement.ages
        ),
    )


Key = tuple[str, Fraction]
Piece = tuple[str, str, str, Key, Money]
"""Group, text, detail, tax, net of one line."""


def _tax_word(name: str, key: Key) -> str:
    category, rate = key
    if rate == 0:
        return {
            "AE": _("reverse charge"),
            "E": _("exempt"),
        }.get(category, _("without tax"))
    return f"{name} {percent_words(rate)}"


def _taxed_at(key: Key) -> str:
    """Return the head of a column: what its amounts are taxed at."""
    _category, rate = key
    if rate == 0:
        return _tax_word("", key)
    return _("taxed at %(rate)s") % {"rate": percent_words(rate)}


def _columns(keys: Iterable[Key]) -> list[Key]:
    found = list(keys)
    return found if len(found) > 1 else []


def _rows(pieces: Sequence[Piece], keys: Sequence[Key], code: str) -> list[WorkRow]:
    """Return one row for the tax parts of one line; other words, another row."""
    groups: dict[tuple[str, str], list[Piece]] = {}
    for piece in pieces:
        groups.setdefault(piece[:2], []).append(piece)
    return [
        WorkRow(
            text=text,
            detail=next((part[2] for part in parts if part[2]), ""),
            parts=_sums(parts, keys, code),
            amount=amounts.total((part[4] for part in parts), code),
        )
        for (_group, text), parts in groups.items()
    ]


def _sums(pieces: Sequence[Piece], keys: Iterable[Key], code: str) -> tuple[Money, ...]:
    return tuple(
        amounts.total((piece[4] for piece in pieces if piece[3] == key), code)
        for key in keys
    )


def issued_sheet(stored: documents.Invoice, *, digest: str = "") -> InvoiceSheet:
    """Return an issued document as it is read, on the page and on paper."""
    name, code = stored.tax_name, stored.currency
    pieces: list[Piece] = [
        (line.group, line.text, line.detail, (line.category, line.rate), line.net)
        for line in stored.lines
    ]
    columns = _columns((row.category, row.rate) for row in stored.taxes)
    sums = stored.sums
    return InvoiceSheet(
        number=stored.number,
        title=stored.title,
        is_credit=stored.kind == Invoice.Kind.CREDIT,
        currency=code,
        issued_on=stored.issued_on,
        due_on=stored.due_on,
        columns=tuple(ColumnHead(word=_taxed_at(key)) for key in columns),
        rows=tuple(_rows(pieces, columns, code)),
        column_sums=_sums(pieces, columns, code),
        taxes=_taxes(stored),
        earlier=earlier_rows(stored.earlier),
        net_now=_now(sums.net, (item.net for item in stored.earlier)),
        tax_now=_now(sums.tax, (item.tax for item in stored.earlier)),
        net=sums.net,
        tax=sums.tax,
        gross=sums.gross,
        prepaid=sums.prepaid,
        due=sums.due,
        seller=stored.seller,
        buyer=(stored.buyer.name, *stored.buyer.lines),
        site=stored.site,
        references=stored.references,
        terms=stored.terms,
        tax_name=name,
        tax_basis=stored.tax_basis,
        digest=digest[:8],
        bar=_bar(stored),
    )  # fmt: skip


def _taxes(stored: documents.Invoice) -> tuple[TaxRow, ...]:
    return tuple(
        TaxRow(
            word=_tax_word(stored.tax_name, (row.category, row.rate)),
            base=row.base,
            amount=row.amount,
        )
        for row in stored.taxes
    )


def earlier_rows(items: Iterable[Earlier]) -> tuple[EarlierRow, ...]:
    """Return earlier bills as they are listed."""
    return tuple(
        EarlierRow(
            number=item.number,
            text=item.text,
            issued_on=item.issued_on,
            net=item.net,
            tax=item.tax,
            gross=item.gross,
        )
        for item in items
    )


def _now(whole: Money, taken: Iterable[Money]) -> Money:
    """Return what is left of a sum for this invoice, earlier ones taken off."""
    return amounts.total(
        [whole, *(negative(part) for part in taken)], whole.currency.code
    )


def _bar(stored: documents.Invoice) -> str:
    """Draw what was asked for before and what is left, as shares of one sum."""
    if (
        stored.kind == Invoice.Kind.CREDIT
        or not stored.earlier
        or any(item.gross.amount < 0 for item in stored.earlier)
    ):
        return ""
    parts = [(item.number, item.gross, "cut") for item in stored.earlier]
    parts.append((stored.number, stored.sums.due, ""))
    shares = tuple(
        Share(value=amounts.to_units(money), figure=money_words(money), word=word,
              kind=kind)
        for word, money, kind in parts
        if money.amount > 0
    )  # fmt: skip
    sentence = "; ".join(f"{share.word} {share.figure}" for share in shares)
    return draw_shares("paid", sentence, shares, Frame(style=SCREEN, width=358))


def draft_sheet(
    invoice: Invoice, *, tax_name: str, earlier: Sequence[Earlier]
) -> InvoiceSheet:
    """Return a draft as it will be read."""
    code = invoice.net.currency.code
    pieces: list[Piece] = [
        (line.group, line.text, line.detail, (line.category, line.rate),
         amounts.extend(line.price, line.quantity))
        for line in invoice.lines.all()
    ]  # fmt: skip
    keys = sorted({piece[3] for piece in pieces}, key=lambda key: (-key[1], key[0]))
    columns = _columns(keys)
    return InvoiceSheet(
        number="",
        title=invoice.title,
        is_credit=False,
        currency=code,
        issued_on=None,
        due_on=None,
        columns=tuple(ColumnHead(word=_taxed_at(key)) for key in columns),
        rows=tuple(_rows(pieces, columns, code)),
        column_sums=_sums(pieces, columns, code),
        taxes=(TaxRow(word=tax_name, base=invoice.net, amount=invoice.tax),),
        earlier=earlier_rows(earlier),
        net_now=_now(invoice.net, (item.net for item in earlier)),
        tax_now=_now(invoice.tax, (item.tax for item in earlier)),
        net=invoice.net,
        tax=invoice.tax,
        gross=invoice.gross,
        prepaid=invoice.prepaid,
        due=invoice.due,
        tax_name=tax_name,
    )


def credit_rows(
    stored: documents.Invoice, credited: Credited
) -> tuple[tuple[str, str, Money], ...]:
    """Return key, text and what is left to credit of each line."""
    rows = []
    for line in stored.lines:
        taken = credited.nets.get(line.key, amounts.zero(stored.currency))
        left = amounts.to_units(line.net) - amounts.to_units(taken)
        if left:
            text = line.text
            if line.rate:
                text += f" ({_tax_word(stored.tax_name, (line.category, line.rate))})"
            rows.append((line.key, text, amounts.from_units(left, stored.currency)))
    return tuple(rows)


@dataclass(frozen=True, slots=True, kw_only=True)
class StageOffered:
    """One payment of the quote, ready to be asked for."""

    label: str
    percent: str
    amount: Money
    asked: str = ""


def stages_offered(
    stages: Iterable[Stage], asked: Mapping[str, str]
) -> tuple[StageOffered, ...]:
    """Return the payments the quote named, with their shares as typed.

    `asked` says by title which invoice asks for one already.
    """
    return tuple(
        StageOffered(
            label=stage.label,
            percent=decimal_text(stage.share * 100, places=6),
            amount=stage.amount,
            asked=asked.get(stage.label, ""),
        )
        for stage in stages
    )

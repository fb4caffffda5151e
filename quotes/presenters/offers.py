"""Quotes as lists and pages show them, from their frozen documents."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from moneyed import Money

from materials.core.quantities import decimal_text
from materials.presenters import money_words, percent_words
from quotes.core import document
from quotes.core.document import (
    ClientOption,
    ClientQuote,
    Drawing,
    OfferedLine,
    Quote,
    Stage,
)
from quotes.models import Quote as QuoteRow
from quotes.models import Revision


def newest(quote: QuoteRow) -> Revision:
    """Return the revision that speaks for a quote: an accepted one, else the newest."""
    revisions = list(quote.revisions.all())
    accepted = [row for row in revisions if row.state == Revision.State.ACCEPTED]
    return accepted[0] if accepted else revisions[0]


def stored_quote(revision: Revision) -> Quote:
    """Return the document of a revision."""
    return document.from_json(revision.document)


def shown_to_client(revision: Revision) -> ClientQuote:
    """Return what the client may see of a revision: no cost, no hours, no working."""
    return document.client_view(stored_quote(revision))


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferedRow:
    """One line as the client reads it."""

    text: str
    detail: str
    nature: str
    amount: str
    price: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class TaxRow:
    """One rate of tax with its words."""

    label: str
    tax: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class OptionSheet:
    """One option as page and paper show it: they cannot disagree."""

    key: str
    label: str
    offered: tuple[OfferedRow, ...]
    taxes: tuple[TaxRow, ...]
    net: Money
    tax: Money
    gross: Money
    stages: tuple[Stage, ...]


def option_sheet(shown: ClientQuote, option: ClientOption) -> OptionSheet:
    """Return an option as it is read, on the screen and on paper."""
    return OptionSheet(
        key=option.key,
        label=option.label,
        offered=tuple(_offered(line) for line in option.offered),
        taxes=tuple(
            TaxRow(
                label=f"{shown.tax_name} {percent_words(tax.rate)} × "
                f"{money_words(tax.base)}",
                tax=tax.tax,
            )
            for tax in option.taxes
            if tax.rate or tax.tax.amount
        ),
        net=option.net,
        tax=option.tax,
        gross=option.gross,
        stages=option.stages,
    )


def _offered(line: OfferedLine) -> OfferedRow:
    amount = decimal_text(line.quantity, places=3) if line.quantity else ""
    return OfferedRow(
        text=line.text,
        detail=line.detail,
        nature=line.nature,
        amount=f"{amount} {line.unit}".strip(),
        price=line.price,
    )


def surfaces_drawn(shown: ClientQuote, *, paper: bool = False) -> tuple[Drawing, ...]:
    """Return the drawings of what was measured, for the screen or on paper."""
    return tuple(
        one if paper else _for_screen(one)
        for one in shown.drawings
        if one.key.startswith("surface-")
    )


def plans_drawn(shown: ClientQuote, *, paper: bool = False) -> tuple[Drawing, ...]:
    """Return the drawings of what is cut and trimmed, for the screen or on paper."""
    return tuple(
        one if paper else _for_screen(one)
        for one in shown.drawings
        if not one.key.startswith(("surface-", "setout-"))
    )


def set_outs_drawn(shown: ClientQuote, *, paper: bool = False) -> tuple[Drawing, ...]:
    """Return the drawings of the tile as it is set out, for the screen or on paper."""
    return tuple(
        one if paper else _for_screen(one)
        for one in shown.drawings
        if one.key.startswith("setout-")
    )


def _for_screen(drawing: Drawing) -> Drawing:
    """Return a printed drawing without its own style: the screen's sheet colours it."""
    return replace(drawing, svg=_STYLE.sub("", drawing.svg))


_STYLE = re.compile(r"<style>.*?</style>", re.DOTALL)

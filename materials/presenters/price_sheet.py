"""What a table of prices would do, as a page shows it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from moneyed import Money

from materials.core.amounts import from_units
from materials.core.tables.price_records import Outcome

MOST_SHOWN = 300
_WORDS = {
    "refused": gettext_lazy("left out"),
    "new product": gettext_lazy("new product"),
    "new pack": gettext_lazy("new pack"),
    "new price": gettext_lazy("new price"),
    "changed": gettext_lazy("changed"),
    "same": gettext_lazy("as it is"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class OutcomeRow:
    """One row of the table: the line, what becomes of it, and the price."""

    line: int
    word: str
    refused: bool
    product: str
    pack: str
    before: Money | None
    after: Money | None
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetShown:
    """A judged table: rows left out first, then what changes; how many of each."""

    rows: tuple[OutcomeRow, ...]
    counts: tuple[tuple[str, int], ...]
    taken: int
    refused: int
    hidden: int


def sheet_shown(outcomes: Sequence[Outcome], currency: str) -> SheetShown:
    """Return a judged table for its page; what stays as it is is only counted."""
    kinds = Counter(outcome.verdict for outcome in outcomes)
    telling = [one for one in outcomes if one.verdict != "same"]
    telling.sort(key=lambda one: (one.verdict != "refused", not one.sentence, one.line))
    return SheetShown(
        rows=tuple(_row(one, currency) for one in telling[:MOST_SHOWN]),
        counts=tuple(
            (str(word), kinds[verdict])  # type: ignore[index]
            for verdict, word in _WORDS.items()
            if kinds[verdict]  # type: ignore[index]
        ),
        taken=sum(bool(one.steps) for one in outcomes),
        refused=kinds["refused"],
        hidden=max(0, len(telling) - MOST_SHOWN),
    )


def _row(outcome: Outcome, currency: str) -> OutcomeRow:
    def money(units: int | None) -> Money | None:
        return None if units is None else from_units(units, currency)

    name = outcome.name or _("no name")
    return OutcomeRow(
        line=outcome.line,
        word=str(_WORDS[outcome.verdict]),
        refused=outcome.verdict == "refused",
        product=f"{outcome.code} {name}".strip() if outcome.name else outcome.code,
        pack=outcome.pack,
        before=money(outcome.before),
        after=money(outcome.after),
        sentence=outcome.sentence,
    )

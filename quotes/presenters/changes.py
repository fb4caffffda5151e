"""What a copied visit costs today beside the visit it was copied from."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.utils.formats import date_format
from django.utils.translation import gettext as _
from moneyed import Money

from materials.core import amounts
from materials.core.errors import Refusal
from materials.presenters import core_words, money_words
from quotes.core.document import Line
from quotes.models import Visit
from quotes.queries.estimating import estimate_of


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeRow:
    """One line then and today; nothing stands for a line that was not there."""

    text: str
    then: Money
    today: Money
    change: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class Changes:
    """All lines whose cost changed, and a sentence for the sum."""

    words: str = ""
    rows: tuple[ChangeRow, ...] = ()
    refused: str = ""


def price_changes(visit: Visit, today: date) -> Changes:
    """Return what changed in cost between the first visit's day and today."""
    first = visit.copied_from
    if first is None:
        return Changes(words=_("This visit was not copied."))
    on = _priced_on(first)
    try:
        then = estimate_of(first, on=on).option
        now = estimate_of(visit, on=today).option
    except Refusal as refusal:
        return Changes(refused=refusal.sentence)
    rows = _rows(then.lines, now.lines, visit)
    difference = now.totals.net - then.totals.net
    words = _(
        "Priced on %(day)s it came to %(then)s before tax; today %(today)s, "
        "%(difference)s more or less. Sizes are the same."
    ) % {
        "day": date_format(on, _("j M Y")),
        "then": money_words(then.totals.net),
        "today": money_words(now.totals.net),
        "difference": money_words(difference),
    }
    return Changes(words=words, rows=rows)


def _priced_on(visit: Visit) -> date:
    """Return the day the first visit was last priced, else the day it was held."""
    quote = visit.quotes.order_by("-pk").first()
    revision = quote.revisions.order_by("-pk").first() if quote else None
    return revision.priced_on if revision else visit.held_on


def _rows(
    then: tuple[Line, ...], now: tuple[Line, ...], visit: Visit
) -> tuple[ChangeRow, ...]:
    before = {line.key: line for line in then}
    after = {line.key: line for line in now}
    rows = []
    for key in dict.fromkeys([*before, *after]):
        old, new = before.get(key), after.get(key)
        known = new or old
        if known is None or (old and new and old.cost == new.cost):
            continue
        nothing = amounts.zero(known.cost.currency.code)
        rows.append(
            ChangeRow(
                text=core_words(known.text),
                then=old.cost if old else nothing,
                today=new.cost if new else nothing,
                change=(new.cost if new else nothing) - (old.cost if old else nothing),
            )
        )
    return tuple(rows)

"""What the owner typed beside the computed: lines, sums, operations, own figures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _
from moneyed import Money

from materials.core import amounts
from materials.core.errors import Refusal
from materials.core.quantities import decimal_text, parse_number
from materials.presenters import core_words, money_words
from quotes.core.labour import BY_KEY
from quotes.models import Visit
from quotes.presenters.estimates import EstimateSheet, LineRow
from quotes.presenters.units import basis_text

MONEY = ("cost", "price")


@dataclass(frozen=True, slots=True, kw_only=True)
class HandMade:
    """One thing typed by hand, with what takes it back."""

    kind: str
    key: int
    text: str
    figure: str = ""
    amount: Money | None = None
    idle: str = ""


def hand_made(visit: Visit, sheet: EstimateSheet) -> tuple[HandMade, ...]:
    """Return all of it in the order of the forms: lines, sums, operations, figures."""
    lines = {row.key: row for part in sheet.classes for row in part.lines}
    return (
        *(
            HandMade(
                kind="hand-line",
                key=row.pk,
                text=f"{row.text}: {_times(row.quantity, row.unit)}"
                f"{money_words(row.unit_price)}",
                amount=amounts.extend(row.unit_price, row.quantity),
            )
            for row in visit.hand_lines.all()
        ),
        *(
            HandMade(
                kind="allowance",
                key=row.pk,
                text=f"{row.text} ({row.get_nature_display()})",
                amount=row.amount,
            )
            for row in visit.allowances.all()
        ),
        *_operations(visit),
        *(
            HandMade(
                kind="overrule",
                key=row.pk,
                text=_("%(line)s, %(what)s: %(reason)s")
                % {
                    "line": lines[row.line].text if row.line in lines else row.line,
                    "what": row.get_what_display(),
                    "reason": row.reason,
                },
                figure=_figures(lines.get(row.line), row.what, row.value),
                idle=_idle(sheet, row.line, row.what),
            )
            for row in visit.overrules.all()
        ),
    )


def _times(quantity: Any, unit: str) -> str:
    return f"{decimal_text(quantity, places=3)} {unit} × ".replace("  ", " ")


def _operations(visit: Visit) -> tuple[HandMade, ...]:
    rows: list[Mapping[str, Any]] = visit.facts.get("labour", [])
    return tuple(_operation(row, place, visit.system) for place, row in enumerate(rows))


def _operation(row: Mapping[str, Any], place: int, system: str) -> HandMade:
    operation = BY_KEY.get(str(row.get("operation", "")))
    try:
        quantity = parse_number(str(row.get("quantity", "")))
    except Refusal:
        quantity = None
    note = str(row.get("note", ""))
    label = core_words(operation.label) if operation else str(row.get("operation", ""))
    return HandMade(
        kind="labour",
        key=place,
        text=f"{label}: {note}" if note else label,
        figure=basis_text(quantity, operation.basis, system)
        if operation is not None and quantity is not None
        else str(row.get("quantity", "")),
    )


def _figures(line: LineRow | None, what: str, value: str) -> str:
    """Return what was computed and what stands instead."""
    notes = line.overruled if line is not None else ()
    for note in notes:
        if note.what == what:
            return f"{note.computed} → {note.owner}"
    return value


def _idle(sheet: EstimateSheet, line: str, what: str) -> str:
    if (line, what) not in sheet.unused:
        return ""
    return _("Nothing is priced by this any more: take it back, or set it again.")

"""The price list as a table: its columns, and what one row says.

One row is one price of one pack; a product without a pack, or a pack without a price,
has a row too. The columns may stand in any order, and most may be left out: a
merchant's new prices need `code` (or `merchant` and `merchant_code`) and `price`.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from materials.core.errors import NotANumber, OutOfRange, Refusal, Unknown

LENGTHS = {
    "code": 40,
    "name": 160,
    "kind": 40,
    "facts": 4_000,
    "merchant": 120,
    "merchant_code": 60,
    "pack": 80,
    "holds": 40,
    "lead_days": 6,
    "special_order": 3,
    "returnable": 3,
    "price": 20,
    "currency": 3,
    "valid_from": 10,
    "valid_until": 10,
    "least_packs": 6,
    "origin": 200,
}
"""Every column and the most letters a cell of it may have."""
COLUMNS = tuple(LENGTHS)
_COMMA = re.compile(r"-?[0-9]{1,12},([0-9]{1,2}|[0-9]{4})( ?[a-zA-Z]{1,3}2?)?")
_ISO = re.compile(r"\d{4}-\d{2}-\d{2}")


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceRow:
    """One row: the line it stands on, and its cells by column, blanks left out."""

    line: int
    cells: Mapping[str, str]

    def text(self, column: str) -> str:
        """Return a cell's text, empty when it is blank.

        Raises: OutOfRange for a text longer than the column keeps.
        """
        text = self.cells.get(column, "")
        if len(text) > LENGTHS[column]:
            raise OutOfRange(
                f"{column} has {len(text)} letters; at most {LENGTHS[column]} are kept."
            )
        return text

    def number(self, column: str) -> str:
        """Return a cell's number, a decimal comma read as a point.

        Many spreadsheets write 12,50. Three digits after a comma stay as they are:
        they may as well be thousands, and are refused where the number is read.
        """
        text = self.text(column)
        return text.replace(",", ".") if _COMMA.fullmatch(text) else text

    def yes(self, column: str, *, default: bool) -> bool:
        """Return a cell that says yes or no."""
        text = self.text(column).lower()
        if text and text not in {"yes", "no"}:
            raise Unknown(f"{column} is yes or no, not “{text}”.")
        return text == "yes" if text else default

    def whole(self, column: str, *, default: int, least: int) -> int:
        """Return a cell that counts something."""
        text = self.text(column)
        if not text:
            return default
        if not (text.isascii() and text.isdigit()) or int(text) < least:
            raise NotANumber(f"{column} is a whole number from {least}, not “{text}”.")
        return int(text)

    def day(self, column: str) -> date | None:
        """Return a cell that names a day, None when it is blank."""
        text = self.text(column)
        if not text:
            return None
        try:
            found = date.fromisoformat(text) if _ISO.fullmatch(text) else None
        except ValueError:
            found = None
        if found is None or not 2000 <= found.year <= 2100:
            raise OutOfRange(f"{column} is a day such as 2026-05-31, not “{text}”.")
        return found


def read_rows(table: list[list[str]]) -> list[PriceRow]:
    """Return the rows under the names of the columns; blank ones are passed by.

    Raises: Refusal without rows; Unknown for a column that the price list has not, or
    one that stands twice.
    """
    if len(table) < 2:
        raise Refusal(
            "The table has no rows: the first line names the columns, and each line "
            "under it is one price.",
            field="sheet",
        )
    names = [_column(cell) for cell in table[0]]
    for rank, name in enumerate(names):
        if name and name not in LENGTHS:
            raise Unknown(
                f"The price list has no column “{name[:40]}”; it has "
                f"{', '.join(COLUMNS)}.",
                field="sheet",
            )
        if name and name in names[:rank]:
            raise Unknown(f"The column “{name}” stands twice.", field="sheet")
    rows = []
    for line, cells in enumerate(table[1:], start=2):
        # A row may be shorter or longer than the first; blanks at its end are no fault.
        found = {
            name: cell.strip()
            for name, cell in zip(names, cells, strict=False)
            if name and cell.strip()
        }
        if found:
            rows.append(PriceRow(line=line, cells=found))
    return rows


def _column(cell: str) -> str:
    return re.sub(r"[\s_-]+", "_", cell.strip().lower())


def facts_text(facts: Mapping[str, object]) -> str:
    """Return a product's facts for one cell: `length = 600 mm; width = 300 mm`."""
    parts = [f"{name} = {_fact(value)}" for name, value in facts.items()]
    if any(";" in part or part.count("=") > 1 for part in parts):
        return json.dumps(dict(facts), ensure_ascii=False)
    return "; ".join(parts)


def _fact(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)


def read_facts_text(text: str) -> dict[str, object]:
    """Return the facts a cell names, as typed.

    Raises: Refusal for a cell that is no list of facts.
    """
    if text.startswith("{"):
        try:
            found = json.loads(text)
        except ValueError:
            found = None
        if not isinstance(found, dict):
            raise _no_facts(text)
        return found
    facts: dict[str, object] = {}
    for part in text.split(";"):
        if not part.strip():
            continue
        name, sign, value = part.partition("=")
        if not sign or not name.strip() or not value.strip():
            raise _no_facts(part)
        facts[name.strip()] = value.strip()
    return facts


def _no_facts(text: str) -> Refusal:
    return Refusal(
        f"facts are written as “length = 600 mm; width = 300 mm”, not “{text[:40]}”."
    )

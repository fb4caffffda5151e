"""What a table's cells hold, and text that no spreadsheet takes for a formula.

Source: OWASP ASVS 5.0, 1.2.10: a cell of text that begins with =, +, -, @, tab, return
or a null byte gets an apostrophe in front. Their full-width forms are treated alike,
since some programs read them so. Numbers are no text and stay numbers.
"""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal

from materials.core.errors import Refusal

Cell = str | int | Decimal | date | None
Row = list[Cell]

MOST_COLUMNS = 60
MOST_BYTES = 5 * 1024 * 1024
_RISKY = re.compile("'*[=+\\-@\t\r\n＝＋－＠]")
_CONTROLS = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ufffe\uffff\ud800-\udfff]")


def guarded(text: str) -> str:
    """Return text as it is written into a cell: shown as it is, never worked out.

    Control characters that no file of tables may hold fall away first.

    >>> guarded("=1+1"), guarded("oak - 20 mm")
    ("'=1+1", 'oak - 20 mm')
    """
    plain = _CONTROLS.sub("", text)
    return f"'{plain}" if _RISKY.match(plain) else plain


def unguarded(text: str) -> str:
    """Return the text of a cell without the apostrophe that `guarded` put there."""
    if text.startswith("'") and _RISKY.match(text):
        return text[1:]
    return text


def without_blanks(rows: list[list[str]]) -> list[list[str]]:
    """Return rows without what is blank at their ends, and without blank last rows."""
    for row in rows:
        while row and not row[-1].strip():
            row.pop()
    while rows and not rows[-1]:
        rows.pop()
    return rows


def check_width(row: list[str]) -> None:
    """Refuse a row of more columns than any table of ours has.

    Raises: Refusal.
    """
    if len(row) > MOST_COLUMNS and any(cell.strip() for cell in row[MOST_COLUMNS:]):
        raise Refusal(
            f"The table has more than {MOST_COLUMNS} columns; "
            "keep those that the example has.",
            field="sheet",
        )


def check_bytes(data: bytes) -> None:
    """Refuse a file too large to be a table of prices.

    Raises: Refusal.
    """
    if len(data) > MOST_BYTES:
        raise Refusal(
            "The file is larger than 5 MB; split the table in two.", field="sheet"
        )
    if not data:
        raise Refusal("The file is empty; choose the table again.", field="sheet")

"""Tables as text with a separator (RFC 4180), written and read back.

Written as UTF-8 with a mark at its head, by which spreadsheets know the encoding. Read
from what they save: UTF-8, UTF-16 with its mark, or Windows' western letters, with
commas, semicolons or tabs between.
"""

from __future__ import annotations

import codecs
import csv
import io
from collections.abc import Iterable
from datetime import date
from decimal import Decimal

from materials.core.errors import Refusal
from materials.core.tables.cells import (
    Cell,
    Row,
    check_bytes,
    check_width,
    guarded,
    unguarded,
    without_blanks,
)

MOST_ROWS = 200_000
_SEPARATORS = (",", ";", "\t")


def written(rows: Iterable[Row]) -> bytes:
    """Return rows as comma-separated text; numbers and days as such, text guarded."""
    out = io.StringIO(newline="")
    csv.writer(out, lineterminator="\r\n").writerows(
        [_text(cell) for cell in row] for row in rows
    )
    return out.getvalue().encode("utf-8-sig")


def _text(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, date):
        return cell.isoformat()
    if isinstance(cell, Decimal):
        return format(cell, "f")
    return guarded(cell) if isinstance(cell, str) else str(cell)


def read(data: bytes) -> list[list[str]]:
    """Return the cells of a table as text, without blank ends.

    Raises: Refusal for a file too large, of no text, or not closed where it quotes.
    """
    check_bytes(data)
    text = _decoded(data)
    if "\x00" in text:
        raise _no_table()
    head = text.split("\n", 1)[0]
    separator = max(_SEPARATORS, key=head.count)
    rows: list[list[str]] = []
    try:
        for row in csv.reader(io.StringIO(text), delimiter=separator, strict=True):
            check_width(row)
            rows.append([unguarded(cell) for cell in row])
            if len(rows) > MOST_ROWS:
                raise Refusal(
                    f"The table has more than {MOST_ROWS} rows; split it.",
                    field="sheet",
                )
    except csv.Error as error:
        raise Refusal(
            f"Line {len(rows) + 1} cannot be read as a row of a table: a quotation "
            "mark is not closed, or a cell is too long.",
            field="sheet",
        ) from error
    return without_blanks(rows)


def _decoded(data: bytes) -> str:
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        encodings = ["utf-16"]
    else:
        encodings = ["utf-8-sig", "cp1252"]
    for encoding in encodings:
        try:
            return data.decode(encoding)
        except UnicodeDecodeError:
            continue
    raise _no_table()


def _no_table() -> Refusal:
    return Refusal(
        "That is no table of text; save it as CSV (UTF-8) or as XLSX.", field="sheet"
    )

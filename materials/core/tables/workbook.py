"""Tables as a workbook (Office Open XML, ECMA-376), written and read back.

A workbook is a zip of XML: its parts are counted and measured before any is opened, and
one with entities, links to other files or macros is refused. What a formula says is
read as text, never worked out.
"""

from __future__ import annotations

import io
import zipfile
import zlib
from collections.abc import Iterable, Mapping
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from openpyxl import Workbook, load_workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.styles import Font

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

MOST_ROWS = 50_000
MOST_PARTS = 200
MOST_UNPACKED = 30 * 1024 * 1024
MOST_RATIO = 100
"""Unpacked to packed; tables that people keep are below 30."""
MAGIC = b"PK\x03\x04"
_FOREIGN = ("externallinks/", "vbaproject", "macrosheets/", "activex/", "embeddings/")
_DECLARATIONS = tuple(
    word.encode(encoding)
    for word in ("<!DOCTYPE", "<!ENTITY")
    for encoding in ("utf-8", "utf-16-le", "utf-16-be")
)
_BROKEN: tuple[type[Exception], ...] = (
    zipfile.BadZipFile, zipfile.LargeZipFile, zlib.error, SyntaxError, KeyError,
    ValueError, TypeError, IndexError, AttributeError, OSError, EOFError,
    NotImplementedError, RuntimeError, OverflowError, MemoryError, AssertionError,
)  # fmt: skip
"""Whatever the reader trips over in a file made to trip it; bad XML is bad syntax."""


def written(sheets: Mapping[str, Iterable[Row]]) -> bytes:
    """Return named tables as one workbook: text as text, numbers and days as such."""
    book = Workbook(write_only=True)
    for name, rows in sheets.items():
        sheet = book.create_sheet(title=name[:31])
        sheet.freeze_panes = "A2"
        for rank, row in enumerate(rows):
            sheet.append([_cell(sheet, cell, is_head=rank == 0) for cell in row])
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _cell(sheet: Any, cell: Cell, *, is_head: bool) -> Any:
    if cell is None:
        return None
    made = WriteOnlyCell(sheet, value=guarded(cell) if isinstance(cell, str) else cell)
    if isinstance(cell, str):
        # Named text, whatever it begins with; the library would make it a formula.
        made.data_type, made.number_format = "s", "@"
    elif isinstance(cell, date):
        made.number_format = "yyyy-mm-dd"
    elif isinstance(cell, Decimal):
        made.number_format = "0.00##"
    if is_head:
        made.font = Font(bold=True)
    return made


def read(data: bytes) -> list[list[str]]:
    """Return the cells of a workbook's first table as text, without blank ends.

    Raises: Refusal for a file too large, packed to burst, foreign, or broken.
    """
    check_bytes(data)
    try:
        _check_parts(data)
        book = load_workbook(io.BytesIO(data), read_only=True, keep_links=False)
        return without_blanks(_rows(book.worksheets[0]))
    except Refusal:
        raise
    except _BROKEN as error:
        raise Refusal(
            "The workbook cannot be read; save it again as XLSX, or as CSV.",
            field="sheet",
        ) from error


def _check_parts(data: bytes) -> None:
    with zipfile.ZipFile(io.BytesIO(data)) as parcel:
        parts = parcel.infolist()
        unpacked = sum(part.file_size for part in parts)
        packed = max(1, sum(part.compress_size for part in parts))
        if (
            len(parts) > MOST_PARTS
            or unpacked > MOST_UNPACKED
            or unpacked > MOST_RATIO * packed
        ):
            raise Refusal(
                "The workbook unpacks to far more than a table of prices; "
                "save the table alone, as CSV.",
                field="sheet",
            )
        for part in parts:
            if any(word in part.filename.lower() for word in _FOREIGN):
                raise Refusal(
                    "The workbook has macros, embedded files or links to other files; "
                    "save the table alone as XLSX or CSV.",
                    field="sheet",
                )
            content = parcel.read(part)
            if any(word in content for word in _DECLARATIONS):
                raise Refusal(
                    "The workbook declares entities, which no spreadsheet does; "
                    "save it again as XLSX.",
                    field="sheet",
                )


def _rows(sheet: Any) -> list[list[str]]:
    # What a file says of its own size may be a lie, and is not needed.
    sheet.reset_dimensions()
    rows: list[list[str]] = []
    for cells in sheet.iter_rows(values_only=True):
        row = [_text(value) for value in cells]
        check_width(row)
        rows.append(row)
        if len(rows) > MOST_ROWS:
            raise Refusal(
                f"The table has more than {MOST_ROWS} rows; split it.", field="sheet"
            )
    return rows


def _text(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        return value.date().isoformat()
    if isinstance(value, str):
        return unguarded(value)
    if isinstance(value, int | Decimal) or hasattr(value, "is_integer"):
        # Spreadsheets keep fifteen digits: 0.1 + 0.2 is 0.3 there.
        return format(Decimal(format(value, ".15g")), "f")
    return str(value)

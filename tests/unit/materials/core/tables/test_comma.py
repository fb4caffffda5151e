"""Tables as text with a separator."""

from __future__ import annotations

import csv
import io
from datetime import date
from decimal import Decimal

import pytest

from materials.core.errors import Refusal
from materials.core.tables.comma import read, written


def test_numbers_stay_numbers_and_text_is_quoted_as_the_standard_asks() -> None:
    rows = [["price", "name"], [Decimal("-12.50"), 'a "b", c\nd'], [3, None]]

    data = written([*rows, [date(2026, 5, 4), "-x"]])

    assert data == (
        b'\xef\xbb\xbfprice,name\r\n-12.50,"a ""b"", c\nd"\r\n3,\r\n2026-05-04,\'-x\r\n'
    )


@pytest.mark.parametrize(
    ("data", "cells"),
    [
        (b"code;price\r\nA;1,50\r\n", [["code", "price"], ["A", "1,50"]]),
        (b"code\tprice\nA\t1.50", [["code", "price"], ["A", "1.50"]]),
        ("code,name\nA,Gr\u00fcn".encode("cp1252"), [["code", "name"], ["A", "Grün"]]),
        ("code,name\nA,Grün".encode("utf-16"), [["code", "name"], ["A", "Grün"]]),
        ("\ufeffcode,name\nA,½″".encode(), [["code", "name"], ["A", "½″"]]),
    ],
)
def test_what_spreadsheets_save_is_read(data: bytes, cells: list[list[str]]) -> None:
    assert read(data) == cells


def test_what_is_written_another_reader_reads() -> None:
    names = ["=1+1", "plain", 'quo"te', "two\nlines", "comma, semicolon;", "'=2"]

    data = written([["name"], *([name] for name in names)])
    theirs = list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))

    assert [row[0] for row in theirs[1:]] == [
        "'=1+1", "plain", 'quo"te', "two\nlines", "comma, semicolon;", "''=2",
    ]  # fmt: skip
    assert [row[0] for row in read(data)[1:]] == names


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b'code,name\nA,"never closed', "Line 2 cannot be read"),
        (b"code,name\nA,\x00\x00", "no table of text"),
        (b"\x81\x8d\x8f\x90\x9d", "no table of text"),
        (b"," * 100 + b"x\n", "more than 60 columns"),
        (b"a\n" * 200_001, "more than 200000 rows"),
        (b"a\n" + b"x" * 200_000, "Line 2 cannot be read"),
    ],
)
def test_what_is_no_table_is_refused_in_words(data: bytes, sentence: str) -> None:
    with pytest.raises(Refusal, match=sentence):
        read(data)

"""Tables as workbooks, also those made to hurt."""

from __future__ import annotations

import io
import random
import zipfile
from datetime import date, datetime
from decimal import Decimal

import openpyxl
import pytest

from materials.core.errors import Refusal
from materials.core.tables.workbook import read, written

ROWS = [
    ["name", "price", "from"],
    ['=HYPERLINK("http://evil.test")', Decimal("-12.50"), date(2026, 5, 4)],
    ["plain", 3, None],
]


def test_no_text_becomes_a_formula_and_numbers_stay_numbers() -> None:
    sheet = openpyxl.load_workbook(io.BytesIO(written({"Prices": ROWS}))).active

    assert sheet is not None
    assert [cell.data_type for cell in sheet[2]] == ["s", "n", "d"]
    assert sheet["A2"].value == '\'=HYPERLINK("http://evil.test")'
    assert (sheet["B2"].value, sheet["C2"].value) == (-12.5, datetime(2026, 5, 4))  # noqa: DTZ001


def test_what_is_written_comes_back() -> None:
    assert read(written({"Prices": ROWS})) == [
        ["name", "price", "from"],
        ['=HYPERLINK("http://evil.test")', "-12.5", "2026-05-04"],
        ["plain", "3"],
    ]


def test_a_formula_is_read_as_text_and_a_long_binary_fraction_as_meant() -> None:
    book = openpyxl.Workbook()
    book.active.append(["=A1*2", 0.1 + 0.2, True, 1e-7])
    out = io.BytesIO()
    book.save(out)

    assert read(out.getvalue()) == [["=A1*2", "0.3", "yes", "0.0000001"]]


def parts() -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(written({"Prices": ROWS}))) as parcel:
        return {name: parcel.read(name) for name in parcel.namelist()}


def packed(content: dict[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as parcel:
        for name, data in content.items():
            parcel.writestr(name, data)
    return out.getvalue()


BOMB = b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "aaaaaaaaaa">]><x>&a;</x>'


@pytest.mark.parametrize(
    ("name", "data", "sentence"),
    [
        ("xl/worksheets/sheet9.xml", b" " * 4_000_000, "unpacks to far more"),
        ("xl/sharedStrings.xml", BOMB, "declares entities"),
        ("xl/styles.xml", BOMB.decode().encode("utf-16-le"), "declares entities"),
        ("xl/externalLinks/externalLink1.xml", b"<x/>", "links to other files"),
        ("xl/vbaProject.bin", b"x", "has macros"),
    ],
)
def test_a_workbook_made_to_hurt_is_refused(
    name: str, data: bytes, sentence: str
) -> None:
    with pytest.raises(Refusal, match=sentence):
        read(packed(parts() | {name: data}))


def test_too_many_parts_or_rows_are_refused() -> None:
    many = {f"xl/more{rank}.xml": b"<x/>" for rank in range(200)}
    with pytest.raises(Refusal, match="unpacks to far more"):
        read(packed(parts() | many))
    far = parts()
    sheet = next(name for name in far if name.endswith("sheet1.xml"))
    far[sheet] = far[sheet].replace(b'r="3"', b'r="1000000"')
    with pytest.raises(Refusal, match="more than 50000 rows"):
        read(packed(far))


def test_a_damaged_workbook_is_a_sentence_whatever_was_damaged() -> None:
    rng = random.Random(5)
    whole = written({"Prices": ROWS})
    for _ in range(300):
        spoiled = bytearray(whole)
        for _ in range(rng.choice([1, 3, 30])):
            spoiled[rng.randrange(4, len(spoiled))] = rng.randrange(256)
        try:
            read(bytes(spoiled[: rng.choice([len(spoiled), len(spoiled) // 2])]))
        except Refusal as refusal:
            assert refusal.sentence.endswith(".")  # noqa: PT017


@pytest.mark.parametrize("gone", sorted(parts()))
def test_a_workbook_without_one_of_its_parts_is_a_sentence(gone: str) -> None:
    left = {name: data for name, data in parts().items() if name != gone}
    try:
        read(packed(left))
    except Refusal as refusal:
        assert "cannot be read" in refusal.sentence  # noqa: PT017

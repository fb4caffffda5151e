from __future__ import annotations

import json
from fractions import Fraction
from typing import Any

import pytest

from materials.core import amounts
from materials.core.cutting.pan_file import PanJob, read_job
from materials.core.cutting.pan_records import PAN_SIDES, LinearDrain
from materials.core.errors import Refusal
from materials.core.lengths import INCH, MM, Length
from materials.core.recess_rules import DWELLING_SLOPE
from tests.pan_cases import inches

PAN = {
    "name": "Dell 46",
    "kind": "linear",
    "width": 50,
    "depth": 46,
    "thin": "5/6",
    "thick": 2,
    "strip": 4,
    "strip_drop": "1/8",
    "trim": ["drain", "far", "left", "right"],
    "price": "386.40",
    "count": 2,
}
JOB: dict[str, Any] = {
    "unit": "in",
    "recess": [[0, 0], [38, 0], [38, 35], [0, 35]],
    "drain": {"kind": "linear", "side": 0, "from": 0, "length": 38},
    "slope": {"min": "1/48", "max": "1/24"},
    "run": "wall",
    "lowest": "3/4",
    "pans": [PAN],
}


def job(**changes: Any) -> PanJob:
    return read_job(json.dumps({**JOB, **changes}))


def pan(**changes: Any) -> dict[str, Any]:
    return {**PAN, **changes}


def test_a_file_becomes_records_in_ticks() -> None:
    read = job()

    assert read.unit_ticks == INCH
    assert read.recess.outline[2] == (38 * INCH, 35 * INCH)
    assert read.recess.drain == LinearDrain(side=0, start=inches(0), length=inches(38))
    assert read.recess.lowest == inches("3/4")
    assert (read.rule.least, read.rule.most) == (Fraction(1, 48), Fraction(1, 24))
    first = read.stock.pans[0]
    assert (first.thin, first.strip_drop, first.count) == (
        inches("5/6"),
        inches("1/8"),
        2,
    )
    assert first.price == amounts.money("386.40", "USD")
    assert first.trim == frozenset(PAN_SIDES)


def test_a_number_and_its_text_are_the_same_and_exact() -> None:
    text = json.dumps(JOB).replace('"lowest": "3/4"', '"lowest": 0.1')

    tenth = read_job(text)
    words = job(lowest="0.1")
    third = job(lowest="1/7")

    assert tenth == words
    assert Fraction(tenth.recess.lowest.ticks, tenth.unit_ticks) == Fraction(1, 10)
    assert Fraction(third.recess.lowest.ticks, third.unit_ticks) == Fraction(1, 7)
    assert tenth.recess.scale == 5


def test_finer_numbers_than_a_tick_change_no_answer() -> None:
    plain = job().fit().ways[0]
    fine = job(
        recess=[[0, 0], ["38", 0], ["38.000", 35], [0, "35.0"]], lowest="0.7501"
    ).fit()

    assert fine.ways[0].sentence == plain.sentence
    assert fine.ways[0].cost == plain.cost


def test_millimetres_have_their_own_home() -> None:
    read = job(
        unit="mm",
        recess=[[0, 0], [900, 0], [900, 800], [0, 800]],
        drain={"kind": "point", "at": [450, 400]},
        pans=[],
    )

    assert read.unit_ticks == MM
    assert read.recess.system == "metric"


def test_what_is_left_out_has_a_default() -> None:
    read = read_job(
        json.dumps(
            {
                "unit": "in",
                "recess": JOB["recess"],
                "drain": {"kind": "linear", "side": 0, "length": 38},
                "pans": [
                    {"name": "A", "width": 50, "depth": 46, "thin": 1, "thick": 2}
                ],
            }
        )
    )

    only = read.stock.pans[0]
    assert (read.rule.least, read.rule.most) == (
        DWELLING_SLOPE.least,
        DWELLING_SLOPE.most,
    )
    assert read.rule.run == "wall"
    assert (only.kind, only.count, only.strip) == ("linear", None, Length(0))
    assert only.price == amounts.money("0", "USD")
    assert only.trim == frozenset(PAN_SIDES)
    assert read.stock.mortar is None


@pytest.mark.parametrize(
    ("named", "sides"),
    [
        (["near", "back"], {"drain", "far"}),
        (["front", "thick", "thin"], {"drain", "far"}),
        ([0, 1, 2, 3], set(PAN_SIDES)),
        ([1], {"right"}),
        ([], set()),
    ],
)
def test_sides_have_names_and_numbers(named: list[Any], sides: set[str]) -> None:
    assert job(pans=[pan(trim=named)]).stock.pans[0].trim == frozenset(sides)


def test_mortar_is_priced_for_a_cubic_unit() -> None:
    read = job(mortar={"price": "0.05", "least": 1, "bag": 600, "density": 2000})
    same = job(
        mortar={"price_per_volume": "0.05", "least_thickness": 1, "bag": "600",
                "density": "2000"}
    )  # fmt: skip

    mortar = read.stock.mortar
    assert mortar is not None
    assert mortar.price_per_cubic_tick * INCH**3 == Fraction(1, 20)
    assert mortar.bag == 600 * INCH**3
    assert read == same


def test_a_currency_decides_the_decimals_of_money() -> None:
    yen = job(currency="JPY", pans=[pan(price=38640)])

    assert yen.stock.pans[0].price == amounts.money(38640, "JPY")
    with pytest.raises(Refusal, match="more than 0 decimals"):
        job(currency="JPY", pans=[pan(price="386.4")])


def test_boards_read_either_word_for_their_sides() -> None:
    one = job(boards=[{"name": "B", "width": 48, "depth": 24, "thick": 2}])
    other = job(boards=[{"name": "B", "width": 48, "height": 24, "thickness": 2}])

    assert one == other


@pytest.mark.parametrize(
    ("changes", "field", "word"),
    [
        ({"slope": {"min": "1/24", "max": "1/48"}}, "slope.max", "slope.min up to 1"),
        ({"slope": {"min": 0, "max": 1}}, "slope.min", "no fall"),
        ({"slope": {"min": "2 %", "max": 1}}, "slope.min", "not a number"),
        ({"lowest": -1}, "lowest", "too small"),
        ({"lowest": "१"}, "lowest", "not a number"),
        ({"lowest": 900000}, "lowest", "ten kilometres"),
        ({"currency": "ABC"}, "currency", "no ISO 4217"),
        ({"pans": [pan(), pan()]}, "pans[1].name", "stands twice"),
        ({"pans": [pan(width=0)]}, "pans[0].width", "above 0"),
        ({"pans": [pan(strip=46)]}, "pans[0].strip", "nothing to slope"),
        ({"pans": [pan(thick="1/2")]}, "pans[0].thick", "swap thin and thick"),
        ({"pans": [pan(strip_drop=1)]}, "pans[0].strip_drop", "underside"),
        ({"pans": [pan(kind="point")]}, "pans[0].strip", "no flat strip"),
        ({"pans": [pan(drain_at=[60, 0])]}, "pans[0].drain_at", "outside the pan"),
        ({"pans": [pan(price=-1)]}, "pans[0].price", "below 0"),
        ({"pans": [pan(price="1.005")]}, "pans[0].price", "2 decimals"),
        ({"pans": [pan(count=0)]}, "pans[0].count", "1 or more"),
        ({"boards": [{"name": "B", "width": 1, "depth": 1}]}, "boards[0].thick", "add"),
        (
            {
                "boards": [
                    {"name": "B", "width": 1, "depth": 1, "height": 1, "thick": 1}
                ]
            },
            "boards[0].height",
            "mean the same",
        ),
        ({"mortar": {"least": 1}}, "mortar.price", "missing"),
        ({"mortar": {"price": 1}}, "mortar.least", "missing"),
        ({"mortar": {"price": -1, "least": 1}}, "mortar.price", "below 0"),
        ({"mortar": {"price": 1, "least": 1, "bag": 0}}, "mortar.bag", "above 0"),
        ({"leftover": [0, 5]}, "leftover[0]", "above 0"),
        ({"recess": [[0, 0], ["1/0", 0], [1, 1]]}, "recess[1][0]", "divides by zero"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_bad_input_is_refused_by_key(
    changes: dict[str, Any], field: str, word: str
) -> None:
    with pytest.raises(Refusal, match=word) as caught:
        job(**changes)

    assert caught.value.field == field

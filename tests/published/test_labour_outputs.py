"""Hours for setting tile, as the program reads them from its tables."""

from __future__ import annotations

from fractions import Fraction

import pytest

from materials.core.areas import NO_AREA, Area
from materials.core.lengths import NOTHING, Length
from materials.core.need import TileFacts
from quotes.core.labour import operation_of
from quotes.core.outputs import (
    Output,
    Setting,
    floor_output,
    skirting_output,
    wall_output,
)
from tests.published.source_files import load

DATA = load("sinapi_tiling")
CPWD = load("cpwd_rates")

READERS = {"floor": floor_output, "wall": wall_output, "skirting": skirting_output}
LAST_DIGIT = Fraction(2, 10_000)


def _output(case: dict[str, str]) -> Output:
    chip = Length.mm(50) if case["finish"] == "mosaic" else NOTHING
    tile = TileFacts(
        length=Length.mm(10 * int(case["length"])),
        width=Length.mm(10 * int(case["width"])),
        thickness=Length.mm(8),
        joint=Length.mm(2),
        chip_length=chip,
        chip_width=chip,
    )
    room = Area.sq_m_of(Fraction(case["room_m2"])) if "room_m2" in case else NO_AREA
    return READERS[case["where"]](
        Setting(
            tile=tile,
            room=room,
            half_height=case.get("height") == "half",
            porcelain=case["finish"] == "porcelain",
            diagonal=case["finish"] == "diagonal",
        )
    )


@pytest.mark.parametrize("case", DATA["case"], ids=lambda case: case["id"])
def test_printed_hours(case: dict[str, str]) -> None:
    output = _output(case)

    assert (output.setter, output.helper) == (
        Fraction(case["setter"]),
        Fraction(case["helper"]),
    )
    assert output.notes == ()


@pytest.mark.parametrize(
    ("where", "base", "slope"),
    [("floor", "0.0959", "0.1375"), ("wall", "0.1205", "0.2773")],
)
def test_printed_helper_hours_lie_on_one_line(
    where: str, base: str, slope: str
) -> None:
    """A typing error would leave the line: it guards the data, not the program."""
    rows = [
        case
        for case in DATA["case"]
        if case["where"] == where and case["finish"] != "mosaic"
    ]

    for case in rows:
        on_line = Fraction(base) + Fraction(slope) * Fraction(case["setter"])
        assert abs(on_line - Fraction(case["helper"])) <= LAST_DIGIT, case["id"]


@pytest.mark.parametrize("case", CPWD["labour"], ids=lambda case: case["id"])
def test_printed_days_of_taking_up_tile(case: dict[str, str]) -> None:
    operation = operation_of(case["operation"])
    helpers = sum((Fraction(days) for days in case["helpers"]), Fraction(0))

    assert operation.setter == Fraction(case["mason"]) * 8 / 10
    assert operation.helper == helpers * 8 / 10

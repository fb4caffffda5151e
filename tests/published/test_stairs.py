"""Risers of one flight against the printed limit, with the printed examples."""

from __future__ import annotations

from typing import Any

import pytest

from materials.core.lengths import NOTHING, Length
from quotes.core.stairs import LIMIT, Flight, set_out_stairs
from tests.published.source_files import load

RISERS = load("stairs_uniform_risers")


def test_the_limit_is_the_printed_one() -> None:
    (limit,) = RISERS["limit"]

    assert Length.inch(limit["most"]) == LIMIT


@pytest.mark.parametrize("case", RISERS["case"], ids=lambda case: case["id"])
def test_the_printed_flights_are_judged_as_printed(case: dict[str, Any]) -> None:
    """The printed risers are finished ones: as thick everywhere, so nothing changes."""
    thick = Length.inch("1/2")
    found = set_out_stairs(
        Flight(
            risers=tuple(map(Length.inch, case["risers"])),
            bottom=thick, landing=thick, tile=thick, bed=NOTHING, riser=thick,
            going=Length.inch("10"),
        )
    )  # fmt: skip

    assert found.plain_difference == Length.inch(case["difference"])
    assert (found.plain_difference <= found.limit) == case["keeps"]

"""What becomes of a row: every verdict there is can be reached."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import get_args

import pytest

from materials.core.pricelist import (
    DatedPrice,
    ListedMaterial,
    ListedPack,
    PriceList,
)
from materials.core.tables.price_changes import compared
from materials.core.tables.price_columns import PriceRow
from materials.core.tables.price_records import Outcome, Verdict

TODAY = date(2026, 5, 4)
PACK = ListedPack(
    key="1", label="tube", content=Fraction(1), content_text="1", supplier="Quay",
    prices=(DatedPrice(valid_from=TODAY, amount=50_000),),
)  # fmt: skip
LIST = PriceList(
    currency="EUR",
    materials=(
        ListedMaterial(code="S", name="S", kind="sealant", facts={}, packs=(PACK,)),
    ),
)
ROWS = (
    {"code": "N", "name": "New", "kind": "sealant"},
    {"code": "N", "merchant": "Quay", "pack": "tube", "holds": "1"},
    {"code": "N", "price": "4"},
    {"code": "S", "price": "6"},
    {"code": "S"},
    {"code": "X", "price": "6"},
)


def test_the_verdicts_are_those_that_rows_can_get() -> None:
    rows = [PriceRow(line=2 + n, cells=cells) for n, cells in enumerate(ROWS)]

    found = compared(rows, LIST, system="metric", today=TODAY)

    assert tuple(one.verdict for one in found) == get_args(Verdict)


def test_an_outcome_cannot_be_changed_after_it_was_shown() -> None:
    outcome = Outcome(line=2, verdict="same", code="S")

    with pytest.raises(AttributeError):
        outcome.verdict = "changed"  # type: ignore[misc]

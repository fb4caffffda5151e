"""Certificates prove what they prove, by arithmetic that can be done by hand."""

from __future__ import annotations

from typing import Any

import pytest

from materials.core.cutting.checked_job import AskedJob
from materials.core.cutting.checked_proof import best_pattern, bound_of


def half_sheets() -> AskedJob:
    """Return five pieces a hair wider than half a sheet."""
    return AskedJob.read(
        {
            "unit": "in",
            "stock": [{"name": "s", "width": 48, "height": 96, "price": "20"}],
            "pieces": [{"name": "a", "width": "24 1/16", "height": 96, "count": 5}],
        }
    )


@pytest.mark.parametrize(
    ("certificate", "proved"),
    [
        ({"kind": "area"}, (6000, 3)),
        ({"kind": "dff", "functions": [["f0", "24"], ["f0", "0"]]}, (10000, 5)),
        ({"kind": "price", "scale": 1, "prices": {"a": 2000}}, (10000, 5)),
        ({"kind": "price", "scale": 1, "prices": {"a": 2001}}, (0, 0)),
        ({"kind": "search"}, None),
    ],
    ids=["area", "dff", "price", "a price too high", "search"],
)
def test_what_a_certificate_proves_of_five_half_sheets(
    certificate: dict[str, Any], proved: tuple[int, int] | None
) -> None:
    assert bound_of(job=half_sheets(), certificate=certificate) == proved


def test_a_function_with_a_number_out_of_range_is_no_proof() -> None:
    certificate = {"kind": "dff", "functions": [["f0", "25"], ["f0", "0"]]}

    with pytest.raises(ValueError, match="f0"):
        bound_of(job=half_sheets(), certificate=certificate)


def test_the_best_pattern_may_be_cut_on() -> None:
    job = AskedJob.read(
        {
            "unit": "mm",
            "kerf": 1,
            "stock": [{"name": "s", "width": 9, "height": 5}],
            "pieces": [
                {"name": "a", "width": 4, "height": 5, "turn": False},
                {"name": "b", "width": 4, "height": 2, "turn": False},
            ],
        }
    )

    assert best_pattern(job, job.stock[0], {"a": 5, "b": 3}) == 12

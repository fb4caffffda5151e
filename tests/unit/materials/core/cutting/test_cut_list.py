"""Cuts: dust is trimmed last, parts are numbered on."""

from __future__ import annotations

from tests.cutting_replay import planned


def test_a_piece_almost_as_wide_as_its_part_is_trimmed_last() -> None:
    stock = [{"name": "s", "width": 10, "height": 20, "price": "1"}]
    rows = [{"name": "a", "width": "9.5", "height": 9, "count": 2, "turn": False}]

    told = planned({"unit": "mm", "kerf": 1, "stock": stock, "pieces": rows})

    axes = [cut["axis"] for cut in told["sheets"][0]["cuts"]]
    assert axes.count("x") == 2
    assert axes[0] == "y"

"""Cuts: dust is trimmed last, parts are numbered on."""

from __future__ import annotations

from materials.core.cutting.cut_list import worth_keeping
from materials.core.cutting.records import Rules
from tests.cutting_replay import planned


def test_a_piece_almost_as_wide_as_its_part_is_trimmed_last() -> None:
    stock = [{"name": "s", "width": 10, "height": 20, "price": "1"}]
    rows = [{"name": "a", "width": "9.5", "height": 9, "count": 2, "turn": False}]

    told = planned({"unit": "mm", "kerf": 1, "stock": stock, "pieces": rows})

    axes = [cut["axis"] for cut in told["sheets"][0]["cuts"]]
    assert axes.count("x") == 2
    assert axes[0] == "y"


def test_parts_are_numbered_on_and_the_list_alone_makes_the_plan() -> None:
    stock = [{"name": "s", "width": 10, "height": 20, "price": "1"}]
    rows = [{"name": "a", "width": 4, "height": 9, "count": 4, "turn": False}]

    told = planned({"unit": "mm", "kerf": 1, "stock": stock, "pieces": rows})

    (sheet,) = told["sheets"]
    seen, made = {0}, 1
    for cut in sheet["cuts"]:
        assert cut["part"] in seen
        seen.remove(cut["part"])
        # Each of these cuts has something beyond it or is the last of its part.
        seen |= {made, made + 1}
        made += 2
    assert sorted((row["x"], row["y"]) for row in sheet["pieces"]) == [
        ("0", "0"),
        ("0", "10"),
        ("5", "0"),
        ("5", "10"),
    ]


def test_what_is_worth_keeping_is_kept_either_way_round_and_nothing_less() -> None:
    rules = Rules(leftover=(5, 12))

    assert worth_keeping(5, 12, rules)
    assert worth_keeping(12, 5, rules)
    assert not worth_keeping(4, 40, rules)
    assert not worth_keeping(11, 11, rules)
    assert not worth_keeping(99, 99, Rules())


def test_a_leftover_begins_a_kerf_beyond_the_cut() -> None:
    stock = [{"name": "s", "width": 10, "height": 20, "price": "1"}]
    rows = [{"name": "a", "width": 10, "height": 8, "turn": False}]

    told = planned(
        {"unit": "mm", "kerf": 2, "leftover": [5, 5], "stock": stock, "pieces": rows}
    )

    assert told["leftovers"] == [
        {"sheet": 0, "x": "0", "y": "10", "width": "10", "height": "10"}
    ]

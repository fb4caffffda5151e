"""The drawing shows every piece and escapes its name."""

from __future__ import annotations

import json
from xml.etree import ElementTree

from materials.core.cutting.cut_drawing import plan_drawing
from materials.core.cutting.cut_file import plan_job, read_job
from tests.cutting_replay import SHORT


def test_every_piece_is_drawn_once() -> None:
    job = read_job(
        json.dumps(
            {
                "unit": "in",
                "stock": [{"name": "s", "width": 48, "height": 96}],
                "pieces": [{"name": "a<b", "width": 20, "height": 30, "count": 3}],
            }
        )
    )

    text = plan_drawing(job, plan_job(job, budget=SHORT))

    root = ElementTree.fromstring(text)
    boxes = [one for one in root.iter() if one.get("class") == "piece"]
    assert len(boxes) == 3


def drawn(job: dict[str, object]) -> list[ElementTree.Element]:
    read = read_job(json.dumps(job))
    text = plan_drawing(read, plan_job(read, budget=SHORT))
    return list(ElementTree.fromstring(text).iter())


def boxes(parts: list[ElementTree.Element], kind: str) -> list[tuple[int, ...]]:
    return [
        tuple(int(one.get(key) or -1) for key in ("x", "y", "width", "height"))
        for one in parts
        if one.get("class") == kind
    ]


def test_pieces_lie_in_their_sheet_to_scale_and_up_is_up() -> None:
    parts = drawn(
        {
            "unit": "mm",
            "stock": [{"name": "s", "width": 30, "height": 60}],
            "pieces": [{"name": "a", "width": 30, "height": 20, "turn": False}],
            "leftover": [10, 10],
        }
    )

    ((x, y, width, height),) = boxes(parts, "sheet")
    assert (width, height) == (3_000, 6_000)
    # The piece is low on the sheet, what is kept above it.
    assert boxes(parts, "piece") == [(x, y + 4_000, 3_000, 2_000)]
    assert boxes(parts, "keep") == [(x, y, 3_000, 4_000)]
    words = [one.text for one in parts if one.text]
    assert "1. s, 30 × 60 mm" in words
    assert "Cuts: 1: part 0, y = 20" in words
    assert "30 × 20" in words


def test_a_bar_is_drawn_flat_with_its_length_alone() -> None:
    parts = drawn(
        {
            "unit": "in",
            "bin": "length",
            "stock": [{"name": "bar & rod", "length": 100}],
            "pieces": [{"name": "a", "length": "12 1/2", "count": 8}],
        }
    )

    assert boxes(parts, "sheet")[0][2:] == (6_000, 300)
    assert {box[2:] for box in boxes(parts, "piece")} == {(750, 300)}
    words = [one.text for one in parts if one.text]
    assert "1. bar & rod, 100 in" in words
    assert words.count("12.5") == 8

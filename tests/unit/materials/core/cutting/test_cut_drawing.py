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

"""The cut command: equal bytes every time, one sentence when it cannot."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from django.core.management import call_command

from materials.core.cutting.checker import faults

JOB = {
    "unit": "in",
    "stock": [{"name": "s", "width": 48, "height": 96, "price": "20"}],
    "pieces": [{"name": "a", "width": 20, "height": "30 1/2", "count": 7}],
}


def test_a_job_is_planned_drawn_and_the_same_again(tmp_path: Path) -> None:
    job, out, svg = (tmp_path / name for name in ("job.json", "out.json", "out.svg"))
    job.write_text(json.dumps(JOB), "utf-8")

    call_command("cut", str(job), json=str(out), svg=str(svg))
    first = out.read_bytes()
    call_command("cut", str(job), json=str(out))

    assert out.read_bytes() == first
    assert faults(JOB, json.loads(first)) == []
    assert svg.read_text("utf-8").startswith("<svg")


def test_a_bad_job_ends_with_a_sentence_and_no_file(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job, out = tmp_path / "job.json", tmp_path / "out.json"
    job.write_text(json.dumps({**JOB, "kerf": "40"}), "utf-8")

    with pytest.raises(SystemExit) as caught:
        call_command("cut", str(job), json=str(out))

    assert caught.value.code == 2
    assert "kerf" in capsys.readouterr().err
    assert not out.exists()

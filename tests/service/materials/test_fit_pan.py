"""The command that fits a pan: files in, files out, one sentence when it cannot."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from io import StringIO
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from django.core.management import call_command

ROOT = Path(__file__).resolve().parents[3]
JOB: dict[str, Any] = {
    "unit": "in",
    "recess": [[0, 0], [38, 0], [38, 35], [0, 35]],
    "drain": {"kind": "linear", "side": 0, "from": 0, "length": 38},
    "slope": {"min": "1/48", "max": "1/24"},
    "lowest": "3/4",
    "pans": [
        {
            "name": "Dell 46", "kind": "linear", "width": 50, "depth": 46,
            "thin": "5/6", "thick": 2, "strip": 4, "strip_drop": "1/8",
            "trim": ["drain", "far", "left", "right"], "price": "386.40",
        }
    ],
    "mortar": {"price": "0.5", "least": 1},
}  # fmt: skip


@pytest.fixture
def job(tmp_path: Path) -> Path:
    file = tmp_path / "job.json"
    file.write_text(json.dumps(JOB), encoding="utf-8")
    return file


def run(*arguments: object) -> str:
    out = StringIO()
    call_command("fit_pan", *map(str, arguments), stdout=out)
    return out.getvalue()


def test_it_reads_a_file_and_tells_the_ways(job: Path) -> None:
    text = run(job)

    assert text.startswith("1. One pan: Dell 46, 386.40")
    assert "2. Mortar: mortar bed" in text


def test_json_alone_is_printed_for_a_dash(job: Path) -> None:
    told = json.loads(run(job, "--json", "-"))

    assert [way["kind"] for way in told["ways"]] == ["one_pan", "mortar"]


def test_it_writes_the_ways_and_a_drawing(job: Path, tmp_path: Path) -> None:
    out, svg = tmp_path / "ways.json", tmp_path / "ways.svg"

    run(job, "--json", out, "--svg", svg)

    assert json.loads(out.read_text("utf-8"))["unit"] == "in"
    assert ElementTree.fromstring(svg.read_text("utf-8")).tag.endswith("svg")


def test_two_processes_write_the_same_bytes(job: Path) -> None:
    texts = [
        subprocess.run(
            [sys.executable, "manage.py", "fit_pan", str(job), "--json", "-"],
            cwd=ROOT,
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    ]

    assert texts[0] == texts[1]
    assert texts[0]


def test_the_schema_is_published() -> None:
    assert json.loads(run("--schema"))["title"].startswith("A floor to slope")


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"lowest": -1}, "lowest: -1 is too small; enter 0 or more.\n"),
        ({"colour": 1}, "colour: No such key; known are unit, recess,"),
        ({"drain": {"kind": "linear", "side": 9, "length": 1}}, "drain.side: Side 9"),
    ],
)
def test_bad_input_ends_with_two_and_one_sentence_and_no_file(
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    changes: dict[str, Any],
    sentence: str,
) -> None:
    file, out = tmp_path / "job.json", tmp_path / "ways.json"
    file.write_text(json.dumps({**JOB, **changes}), encoding="utf-8")

    with pytest.raises(SystemExit) as ended:
        run(file, "--json", out)

    assert ended.value.code == 2
    told = capsys.readouterr().err
    assert told.startswith(sentence)
    assert told.count("\n") == 1
    assert not out.exists()


@pytest.mark.parametrize("content", [b"", b"\xff\xfe", b"[]", b"{"])
def test_a_file_that_is_no_job_ends_with_two(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], content: bytes
) -> None:
    file = tmp_path / "job.json"
    file.write_bytes(content)

    with pytest.raises(SystemExit) as ended:
        run(file)

    assert ended.value.code == 2
    assert capsys.readouterr().err.count("\n") == 1


def test_a_missing_file_is_named(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        run("nowhere.json")

    assert capsys.readouterr().err == (
        "nowhere.json cannot be read: No such file or directory.\n"
    )

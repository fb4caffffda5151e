"""`manage.py lay`: its files, its summary, its refusals, without a database."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from django.core.management import call_command

ROOM = {
    "unit": "mm",
    "surfaces": [{"outer": [[0, 0], [3000, 0], [3000, 2000], [0, 2000]]}],
    "tile": {"length": 300, "width": 300},
    "joint": 0,
    "pattern": {"name": "stack"},
    "origin": [0, 0],
}


@pytest.fixture
def room(tmp_path: Path) -> Path:
    path = tmp_path / "room.json"
    path.write_text(json.dumps(ROOM), "utf-8")
    return path


def test_a_dash_prints_json_alone(
    room: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    call_command("lay", str(room), "--json", "-")

    found = json.loads(capsys.readouterr().out)
    assert (found["full"], found["cut"], found["tiles"]["strict"]) == (60, 10, 70)


def test_files_are_written_where_told(room: Path, tmp_path: Path) -> None:
    out, svg = tmp_path / "out.json", tmp_path / "out.svg"

    call_command("lay", str(room), "--json", str(out), "--svg", str(svg))

    assert json.loads(out.read_text("utf-8"))["full"] == 60
    assert svg.read_text("utf-8").startswith("<svg")


def test_without_json_a_summary_is_printed(
    room: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    call_command("lay", str(room))

    assert "60 full and 10 cut" in capsys.readouterr().out


def test_the_schema_is_printed(capsys: pytest.CaptureFixture[str]) -> None:
    call_command("lay", "--schema")

    assert json.loads(capsys.readouterr().out)["type"] == "object"


@pytest.mark.parametrize(
    ("text", "key"),
    [
        (json.dumps({**ROOM, "joint": 300}), "joint"),
        (json.dumps({**ROOM, "pattern": {"name": "no"}}), "pattern.name"),
        ("{", "file"),
    ],
)
def test_a_refusal_is_one_sentence_and_writes_no_file(
    room: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], text: str, key: str
) -> None:
    room.write_text(text, "utf-8")
    out = tmp_path / "out.json"

    with pytest.raises(SystemExit) as ended:
        call_command("lay", str(room), "--json", str(out))

    said = capsys.readouterr()
    assert ended.value.code == 2
    assert key in said.err
    assert said.err.count("\n") == 1
    assert not out.exists()


def test_a_missing_file_is_named(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        call_command("lay", "nowhere.json")

    assert ended.value.code == 2
    assert "nowhere.json" in capsys.readouterr().err

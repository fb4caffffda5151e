"""The file commands' examples in README give what README says."""

from __future__ import annotations

import io
import json
import re
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command

from tests.source_files import ROOT

README = (ROOT / "README.md").read_text(encoding="utf-8")


def told(command: str, folder: Path) -> tuple[dict[str, Any], str]:
    """Return what a command answers to its example, and what README says of it."""
    row = re.search(rf"^\| `{command}` \|.*?\| `(\{{.*\}})`: (.*) \|$", README, re.M)
    assert row is not None
    file = folder / "example.json"
    file.write_text(row[1], encoding="utf-8")
    out = io.StringIO()
    call_command(command, str(file), json="-", stdout=out)
    answer: dict[str, Any] = json.loads(out.getvalue())
    return answer, row[2]


def test_the_example_of_lay(tmp_path: Path) -> None:
    answer, words = told("lay", tmp_path)

    assert words == (
        f"{answer['full']} whole, {answer['cut']} cut, "
        f"{answer['tiles']['strict']} to buy"
    )


def test_the_example_of_cut(tmp_path: Path) -> None:
    answer, words = told("cut", tmp_path)
    bought = answer["bought"]

    assert answer["proven"] is True
    assert answer["lower_bound"]["sheets"] == bought
    assert words == f"{bought} lengths, {bought - 1} is not enough"


def test_the_example_of_fit_pan(tmp_path: Path) -> None:
    answer, words = told("fit_pan", tmp_path)
    way = answer["ways"][0]

    assert way["cost"] in words
    assert str(way["trimmed_money"]) in words


@pytest.mark.parametrize("name", re.findall(r"quotes/demo/[a-z-]+\.json", README))
def test_every_demo_file_it_names_is_there(name: str) -> None:
    assert (ROOT / name).exists()

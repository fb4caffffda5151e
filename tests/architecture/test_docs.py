"""What the papers for people say, held to the code."""

from __future__ import annotations

import doctest
import re
from pathlib import Path

import pytest

from materials.core.kinds import KINDS
from quotes.core.labour import OPERATIONS
from quotes.core.patterns import PATTERNS

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def settings_read() -> list[str]:
    text = (ROOT / "gaugerod" / "settings.py").read_text(encoding="utf-8")
    return sorted(set(re.findall(r"env_\w+\(\s*\"([A-Z_]+)\"", text)))


def commands() -> list[str]:
    places = ROOT.glob("*/management/commands/*.py")
    return sorted(place.stem for place in places if place.stem != "__init__")


@pytest.mark.parametrize("name", settings_read())
def test_every_setting_is_in_the_readme(name: str) -> None:
    assert f"`{name}`" in README


def test_the_readme_names_no_setting_that_is_not_read() -> None:
    named = set(re.findall(r"^\| `([A-Z_]+)`", README, re.MULTILINE))

    assert named == set(settings_read())


@pytest.mark.parametrize("name", commands())
def test_every_command_is_in_both_papers(name: str) -> None:
    assert name in README
    assert f"`{name}`" in DEVELOPERS


@pytest.mark.parametrize(
    "key", [one.key for one in (*KINDS, *PATTERNS, *OPERATIONS)], ids=str
)
def test_every_member_of_a_family_is_on_the_map(key: str) -> None:
    assert f"`{key}`" in DEVELOPERS


def check_ids() -> list[str]:
    places = sorted(ROOT.glob("*/checks.py"))
    found = [re.findall(r"id=\"(\w+\.E\d+)\"", place.read_text()) for place in places]
    return sorted({one for ids in found for one in ids})


def test_every_system_check_is_on_the_map_and_no_other() -> None:
    named = re.findall(r"^\| `(\w+\.E\d+)`", DEVELOPERS, re.MULTILINE)

    assert sorted(named) == check_ids()


def test_the_examples_on_the_map_run() -> None:
    result = doctest.testfile(str(ROOT / "DEVELOPERS.md"), module_relative=False)

    assert result.attempted >= 8
    assert result.failed == 0

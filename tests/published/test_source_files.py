"""Every file of printed figures says where it comes from, and some test reads it."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.published.source_files import FOLDER, NEEDED, NotASourceFile, checked, load

NAMES = sorted(path.stem for path in FOLDER.glob("*.toml"))
GOOD = """
[source]
title = "A sheet"
edition = "2020"
place = "Table 3"
tolerance = "exact"
[[case]]
id = "one"
inch = "1"
mm = "25.4"
"""


@pytest.mark.parametrize("name", NAMES)
def test_a_data_file_says_where_its_figures_stand(name: str) -> None:
    assert load(name)["source"]["title"]


@pytest.mark.parametrize("name", NAMES)
def test_a_data_file_is_read_by_a_test(name: str) -> None:
    tests = Path(__file__).parent.glob("test_*.py")

    assert [path.name for path in tests if f'"{name}' in path.read_text("utf-8")]


def test_data_files_are_toml_and_nothing_else() -> None:
    assert [path.name for path in FOLDER.iterdir() if path.suffix != ".toml"] == []


def test_a_complete_file_is_taken() -> None:
    assert checked(GOOD, name="good")["case"][0]["mm"] == "25.4"


@pytest.mark.parametrize("key", NEEDED)
def test_a_file_without_its_source_s_facts_is_refused(key: str) -> None:
    lines = [line for line in GOOD.splitlines() if not line.startswith(key)]

    with pytest.raises(NotASourceFile, match=key):
        checked("\n".join(lines), name="bad")


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("[source]", "[origin]", "no .source. table"),
        ('title = "A sheet"', 'title = " "', "title"),
        ('"25.4"', "25.4", "float"),
        ('id = "one"', 'name = "one"', "needs an id"),
        ("[[case]]", "[case]", "not a list of tables"),
        ("[[case]]", "[[deviation]]", "no case"),
        ("[[case]]", '[[case]]\nid = "one"\n[[case]]', "same id"),
        ("[[case]]", '[[deviation]]\nid = "x"\n[[case]]', "needs its reason"),
    ],
)
def test_a_careless_file_is_refused(old: str, new: str, message: str) -> None:
    with pytest.raises(NotASourceFile, match=message):
        checked(GOOD.replace(old, new), name="bad")

"""Load figures printed by others; refuse a file that does not say where they stand.

One TOML file a source. Figures are texts, as printed: a float would already be
rounded. Numbers the project made itself have no place here.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).parent / "data"
NEEDED = ("title", "edition", "place", "tolerance")


class NotASourceFile(ValueError):
    """A data file that must not be used as it is."""


def load(name: str) -> dict[str, Any]:
    """Return the checked content of `data/<name>.toml`."""
    return checked((FOLDER / f"{name}.toml").read_text("utf-8"), name=name)


def checked(text: str, *, name: str) -> dict[str, Any]:
    """Return the content of a data file, or refuse it with a sentence."""
    content = tomllib.loads(text)
    source = content.get("source")
    if not isinstance(source, dict):
        raise NotASourceFile(f"{name} has no [source] table.")
    for key in NEEDED:
        if not isinstance(source.get(key), str) or not source[key].strip():
            raise NotASourceFile(f"{name} does not give the {key} of its source.")
    tables = {key: rows for key, rows in content.items() if key != "source"}
    if not any(key != "deviation" for key in tables):
        raise NotASourceFile(f"{name} has no case.")
    for key, rows in tables.items():
        _check_rows(rows, key=key, name=name)
    for where, value in _leaves(content, name):
        if isinstance(value, float):
            raise NotASourceFile(f"{where} is a float; write it as a text, as printed.")
    return content


def _check_rows(rows: Any, *, key: str, name: str) -> None:
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        raise NotASourceFile(f"{name}: {key} is not a list of tables ([[{key}]]).")
    ids = [row.get("id") for row in rows]
    if not all(isinstance(one, str) and one for one in ids):
        raise NotASourceFile(f"{name}: every {key} needs an id.")
    if len(set(ids)) != len(ids):
        raise NotASourceFile(f"{name}: two rows of {key} have the same id.")
    if key == "deviation" and not all(row.get("reason") for row in rows):
        raise NotASourceFile(f"{name}: every deviation needs its reason.")


def _leaves(value: Any, where: str) -> Iterator[tuple[str, Any]]:
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from _leaves(inner, f"{where}.{key}")
    elif isinstance(value, list):
        for place, inner in enumerate(value):
            yield from _leaves(inner, f"{where}[{place}]")
    else:
        yield where, value

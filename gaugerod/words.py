"""The words of the program: found in its code, compiled from its catalogues.

British trade English is the source: it needs no catalogue. A catalogue holds only the
messages that are said differently elsewhere; whatever it leaves out is said as written.
Compiled here, so that gettext's own tools need not be installed:

    python -m gaugerod.words
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

from babel.messages.extract import extract
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po

ROOT = Path(__file__).resolve().parent.parent
LOCALE_DIR = ROOT / "gaugerod" / "locale"
PACKAGES = ("materials", "quotes", "jobs", "gaugerod")
KEYWORDS: dict[str, tuple[int, ...] | None] = {
    "_": None,
    "gettext": None,
    "gettext_lazy": None,
    "ngettext": (1, 2),
    "ngettext_lazy": (1, 2),
}

Words = str | tuple[str, ...]
"""A message as written, or its singular and plural."""


def compile_catalogues(folder: Path = LOCALE_DIR) -> list[Path]:
    """Write the .mo file beside each .po file that is newer; return what was made.

    A file is whole before it takes its name: two processes may compile at once.
    """
    made = []
    for source in sorted(folder.glob("*/LC_MESSAGES/*.po")):
        target = source.with_suffix(".mo")
        if target.exists() and target.stat().st_mtime >= source.stat().st_mtime:
            continue
        with source.open("rb") as text:
            catalogue = read_po(text, locale=source.parts[-3])
        part = target.with_suffix(f".{os.getpid()}.part")
        with part.open("wb") as binary:
            write_mo(binary, catalogue)
        part.replace(target)
        made.append(target)
    return made


def words_in_code() -> dict[Words, list[str]]:
    """Return every message of modules, templates and starter lists, with its places."""
    found: dict[Words, list[str]] = {}
    for place, text in _texts():
        for line, words, _comments, _context in extract(
            "python", BytesIO(text.encode("utf-8")), keywords=KEYWORDS
        ):
            found.setdefault(words, []).append(f"{place}:{line}")
    for place, words in (*_starter_words(), *_core_words()):
        found.setdefault(words, []).append(place)
    return found


def _texts() -> Iterator[tuple[str, str]]:
    """Give each module, and each page and letter turned into calls, with its place."""
    from django.utils.translation.template import templatize

    for package in PACKAGES:
        for place in sorted((ROOT / package).rglob("*.py")):
            if "migrations" not in place.parts:
                yield str(place.relative_to(ROOT)), place.read_text("utf-8")
    for place in sorted((ROOT / "templates").rglob("*.*")):
        name = str(place.relative_to(ROOT))
        calls = templatize(place.read_text("utf-8"), origin=name)
        # What is left of the markup's indentation would be an error in Python.
        yield name, "\n".join(line.strip() for line in calls.splitlines())


def _starter_words() -> Iterator[tuple[str, str]]:
    """Give the names and finishes of the starter lists, which a set-up translates."""
    for place in sorted((ROOT / "materials" / "starter").glob("*.json")):
        name = str(place.relative_to(ROOT))
        starter = json.loads(place.read_text("utf-8"))
        for row in starter["price_list"]["materials"]:
            yield name, row["name"]
            for fact in ("colour", "finish"):
                if fact in row.get("facts", {}):
                    yield name, row["facts"][fact]
        for row in starter["build_ups"].values():
            yield name, row["name"]


def _core_words() -> Iterator[tuple[str, str]]:
    """Give the labels of the core, which is pure: pages translate them as they show."""
    from materials.core.kinds import KINDS
    from quotes.core.labour import OPERATIONS

    for operation in OPERATIONS:
        yield "quotes/core/labour.py", operation.label
    for kind in KINDS:
        name = f"materials/core/kinds/{kind.key}.py"
        yield name, kind.label
        for parameter in kind.parameters:
            yield name, parameter.label
            yield from ((name, said) for said in (parameter.help,) if said)
            yield from ((name, said.replace("_", " ")) for said in parameter.choices)


if __name__ == "__main__":
    compile_catalogues()

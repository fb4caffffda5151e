"""What is said to be printed has its figures in a data file, or says it was not."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from typing import Any

import pytest

from tests.architecture.source_tree import core_modules
from tests.published.source_files import FOLDER, load

OWN_METHOD = (
    "geometry:", "count:", "bound:", "fit:", "cut plan:", "first guess:",
    "product sheet:", "the business's own",
)  # fmt: skip
"""Titles that begin so name a method of ours or the product's own sheet."""

TEXTS_ONLY = {
    "29 CFR 1926.1153": "a caution points to the text; nothing is computed from it",
    "IRC P2503.6, IPC 312.9, for the United States": "a caution points to the text",
    "40 CFR 745, for the United States": "a caution points to the text",
}


def written_sources() -> Iterator[tuple[str, dict[str, Any]]]:
    """Give every Source(...) the cores write out, with its literal arguments."""
    for module in core_modules():
        for node in ast.walk(module.tree):
            if (
                isinstance(node, ast.Call)
                and isinstance(node.func, ast.Name)
                and node.func.id == "Source"
            ):
                said = {
                    str(word.arg): word.value.value
                    for word in node.keywords
                    if isinstance(word.value, ast.Constant)
                }
                yield f"{module.name}:{node.lineno}", said


def data_titles() -> list[str]:
    """Return the title of every data file of printed figures."""
    return [
        load(path.stem)["source"]["title"] for path in sorted(FOLDER.glob("*.toml"))
    ]


def words(title: str) -> set[str]:
    """Return the words of a title, part numbers of one digit left out."""
    return {word for word in re.findall(r"\w+", title.lower()) if len(word) > 1}


SOURCES = list(written_sources())


@pytest.mark.parametrize(
    ("where", "said"), SOURCES, ids=[where for where, _ in SOURCES]
)
def test_a_printed_source_has_its_figures_in_a_data_file(
    where: str, said: dict[str, Any]
) -> None:
    title = said.get("title", "")
    if said.get("confidence") == "memory" or title.startswith(OWN_METHOD):
        pytest.skip("not a printed figure: it says so on the page")
    if title in TEXTS_ONLY:
        pytest.skip(TEXTS_ONLY[title])

    assert [one for one in data_titles() if words(title) <= words(one)], where


def test_every_text_named_here_is_still_pointed_to() -> None:
    titles = {said.get("title") for _, said in SOURCES}

    assert set(TEXTS_ONLY) - titles == set()

"""The project's own modules, parsed once, for the tests of its shape."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PACKAGES = ("materials", "quotes", "jobs", "gaugerod")

Function = ast.FunctionDef | ast.AsyncFunctionDef


@dataclass(frozen=True, slots=True, kw_only=True)
class Module:
    """One module: its path from the root, its text and its tree."""

    path: Path
    text: str
    tree: ast.Module

    @property
    def name(self) -> str:
        """The path as written in messages: `materials/core/lengths.py`."""
        return self.path.as_posix()

    @property
    def is_core(self) -> bool:
        """Whether the module is in the core of an app."""
        return len(self.path.parts) > 2 and self.path.parts[1] == "core"

    def functions(self) -> Iterator[Function]:
        """Give every function and method of the module."""
        for node in ast.walk(self.tree):
            if isinstance(node, Function):
                yield node


@cache
def modules() -> tuple[Module, ...]:
    """Return every module of the packages, migrations left out."""
    found = []
    for package in PACKAGES:
        for path in sorted((ROOT / package).rglob("*.py")):
            if "migrations" in path.parts:
                continue
            text = path.read_text("utf-8")
            found.append(
                Module(
                    path=path.relative_to(ROOT),
                    text=text,
                    tree=ast.parse(text, filename=str(path)),
                )
            )
    return tuple(found)


def core_modules() -> list[Module]:
    """Return the modules of the cores, packages' own files left out."""
    return [
        module
        for module in modules()
        if module.is_core and module.path.name != "__init__.py"
    ]

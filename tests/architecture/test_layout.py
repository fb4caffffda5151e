"""The shape of the code: sizes, parameters, a unit test beside every core module."""

from __future__ import annotations

import ast
import subprocess
import sys

import pytest

from tests.architecture.source_tree import (
    ROOT,
    Function,
    Module,
    core_modules,
    modules,
)

MODULE_LINES = 400
FUNCTION_LINES = 40
PARAMETERS = 6


def body_lines(function: Function) -> int:
    """Return the lines of a function without its docstring and decorators."""
    lines = (function.end_lineno or function.lineno) - function.lineno + 1
    first = function.body[0]
    if ast.get_docstring(function, clean=False) is not None:
        lines -= (first.end_lineno or first.lineno) - first.lineno + 1
    return lines


def parameters(function: Function) -> int:
    """Return how many parameters a caller has to think of."""
    arguments = function.args
    named = [*arguments.posonlyargs, *arguments.args, *arguments.kwonlyargs]
    return len([one for one in named if one.arg not in ("self", "cls")])


@pytest.mark.parametrize("module", core_modules(), ids=lambda module: module.name)
def test_a_core_module_has_its_unit_test(module: Module) -> None:
    mirror = f"tests/unit/{module.path.parent.as_posix()}/test_{module.path.name}"

    assert (ROOT / mirror).exists(), f"write {mirror}"


@pytest.mark.parametrize("module", modules(), ids=lambda module: module.name)
def test_a_module_is_short_and_says_what_it_is_for(module: Module) -> None:
    assert module.text.count("\n") <= MODULE_LINES
    assert not module.text.strip() or ast.get_docstring(module.tree)


@pytest.mark.parametrize("module", modules(), ids=lambda module: module.name)
def test_functions_are_short_with_few_parameters(module: Module) -> None:
    long = [
        f"{module.name}:{function.lineno} {function.name}: {body_lines(function)} lines"
        for function in module.functions()
        if body_lines(function) > FUNCTION_LINES
    ]
    wide = [
        f"{module.name}:{function.lineno} {function.name}: {parameters(function)}"
        for function in module.functions()
        if parameters(function) > PARAMETERS
    ]

    assert long + wide == []


def test_no_module_has_a_name_that_says_nothing() -> None:
    empty = {"utils", "helpers", "common", "misc", "base", "manager", "handler"}

    assert [one.name for one in modules() if one.path.stem in empty] == []


def test_every_core_module_imports_without_django_and_the_queue() -> None:
    names = [".".join(module.path.with_suffix("").parts) for module in core_modules()]
    code = (
        "import sys, importlib\n"
        "for name in ('django', 'djmoney', 'celery', 'redis', 'weasyprint'):\n"
        "    sys.modules[name] = None\n"
        f"for name in {names!r}:\n"
        "    importlib.import_module(name)\n"
    )

    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )

    assert done.returncode == 0, done.stderr

"""No floats in the cores but in the kernels named here, whose results are integers."""

from __future__ import annotations

import ast

import pytest

from tests.architecture.source_tree import Module, core_modules, modules

KERNELS: dict[str, str] = {
    "materials/core/cutting/linear.py": "the solver's numbers; plans are checked whole",
    "quotes/core/geometry.py": "the door to the geometry library",
    "quotes/core/layout/batch.py": "counts many origins in arrays; counts leave it",
    "quotes/core/layout/certificate.py": "linear programme; whole prices leave it",
    "quotes/core/layout/clip.py": "clips tiles in arrays; whole ticks leave it",
    "quotes/core/layout/critical.py": "origins worth trying; rounded before use",
    "quotes/core/layout/fit.py": "distances of pieces; yes or no leaves it",
    "quotes/core/layout/grid.py": "turned lattices in arrays for the other kernels",
    "quotes/core/layout/placing.py": "where tiles lie; whole ticks leave it",
    "quotes/core/layout/promise.py": "what many origins promise; it only ranks them",
    "quotes/core/layout/sheet_lines.py": "where sheets meet; whole ticks leave it",
    "quotes/core/layout/sheets.py": "chips by column and row; counts leave it",
    "quotes/core/layout/sparse.py": "rows through the lattice; counts leave it",
}
"""Module -> why it may compute in floats."""


def floats(module: Module) -> list[str]:
    """Return where a module writes a float or says its name."""
    found = []
    for node in ast.walk(module.tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, float | complex):
            found.append(f"{module.name}:{node.lineno} {node.value!r}")
        if isinstance(node, ast.Name) and node.id == "float":
            found.append(f"{module.name}:{node.lineno} float")
    return found


def other_roundings(module: Module) -> list[str]:
    """Return where a module rounds by another function than the project's own."""
    words = {"round", "ceil", "floor", "trunc", "quantize", "isclose"}
    found = []
    for node in ast.walk(module.tree):
        if isinstance(node, ast.Call):
            called = node.func
            name = called.attr if isinstance(called, ast.Attribute) else ""
            name = called.id if isinstance(called, ast.Name) else name
            if name in words:
                found.append(f"{module.name}:{node.lineno} {name}()")
    return found


@pytest.mark.parametrize("module", core_modules(), ids=lambda module: module.name)
def test_a_core_module_writes_no_float(module: Module) -> None:
    if module.name in KERNELS:
        pytest.skip(KERNELS[module.name])
    assert floats(module) == []


@pytest.mark.parametrize("module", core_modules(), ids=lambda module: module.name)
def test_a_core_module_rounds_with_the_project_s_own_functions(module: Module) -> None:
    if module.name in KERNELS:
        pytest.skip(KERNELS[module.name])
    assert other_roundings(module) == []


def test_every_named_kernel_exists_and_needs_its_place_in_the_list() -> None:
    by_name = {module.name: module for module in modules()}

    assert [name for name in KERNELS if name not in by_name] == []
    assert [
        name
        for name in KERNELS
        if not floats(by_name[name]) and not other_roundings(by_name[name])
    ] == []


def test_the_test_itself_sees_a_float() -> None:
    text = "x = 1.5\ny = float(3)\nz = round(x)\n"
    module = Module(path=core_modules()[0].path, text=text, tree=ast.parse(text))

    assert len(floats(module)) == 2
    assert len(other_roundings(module)) == 1

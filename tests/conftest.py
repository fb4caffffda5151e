"""Marks by folder, and how many examples a property sees."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from django.test import TransactionTestCase
from hypothesis import settings

from gaugerod.words import compile_catalogues
from tests import spared

MARKS = ("unit", "published", "service", "browser", "architecture")

settings.register_profile("local", deadline=None)
settings.register_profile("ci", deadline=None, derandomize=True, print_blob=True)
settings.load_profile("ci" if os.environ.get("CI") == "true" else "local")


_EMPTY_TABLES = TransactionTestCase._fixture_teardown


def _empty_tables_unguarded(case: TransactionTestCase) -> None:
    """Empty all tables after a test with real commits: what is kept, too."""
    from materials.models.guarding import lowered

    with lowered():
        _EMPTY_TABLES(case)


TransactionTestCase._fixture_teardown = _empty_tables_unguarded


def pytest_configure(config: pytest.Config) -> None:
    """Compile the words, and declare the mark of properties that see many cases."""
    compile_catalogues()
    spared.hash_at(spared.CHEAP)
    spared.do_not_wait_for_the_disk()
    config.addinivalue_line("markers", "cases: a property that sees GAUGEROD_CASES")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark every test with the name of its folder."""
    here = Path(__file__).parent
    for item in items:
        if not item.path.is_relative_to(here):
            continue
        folder = item.path.relative_to(here).parts[0]
        if folder in MARKS:
            item.add_marker(folder)


@pytest.fixture(scope="session")
def django_db_modify_db_settings(
    django_db_modify_db_settings: None, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Make the tables once for all processes of a run."""
    shared = tmp_path_factory.getbasetemp()
    spared.make_tables_once(shared.parent if spared.WORKER else shared)

"""The check of stored rows: a kind that no module describes is found, and named."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from django.core.checks import CheckMessage, run_checks

from materials.core.kinds import KINDS
from materials.models import Material
from tests.source_files import ROOT

pytestmark = pytest.mark.django_db


def keep(kind: str, *codes: str) -> None:
    Material.objects.bulk_create(
        Material(code=code, name=code, kind=kind) for code in codes
    )


def found() -> list[CheckMessage]:
    said = run_checks(databases=["default"])
    return [one for one in said if one.id == "materials.E001"]


def test_every_registered_kind_passes() -> None:
    for place, kind in enumerate(KINDS):
        keep(kind.key, f"OK-{place}")

    assert found() == []


def test_a_kind_that_is_not_registered_is_named_with_its_materials() -> None:
    keep("grout", "GR-1")
    keep("wallpaper", "WP-2", "WP-1")
    keep("carpet", "CP-1")

    carpet, wallpaper = found()

    assert "“carpet”" in carpet.msg
    assert "“wallpaper”" in wallpaper.msg
    assert "WP-1, WP-2." in wallpaper.msg
    assert "GR-1" not in carpet.msg + wallpaper.msg
    assert "migrate --skip-checks" in str(wallpaper.hint)


def test_of_many_materials_the_first_five_are_named() -> None:
    keep("wallpaper", *(f"WP-{place}" for place in range(1, 9)))

    [wrong] = found()

    assert "WP-1, WP-2, WP-3, WP-4, WP-5 and 3 more." in wrong.msg


def test_no_database_is_asked_unless_it_is_named() -> None:
    keep("wallpaper", "WP-1")

    assert [one.id for one in run_checks()] == []


def test_a_database_without_tables_passes(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "manage.py", "check", "--database", "default"],
        cwd=ROOT,
        env={
            **os.environ,
            "GAUGEROD_VAR": str(tmp_path),
            "DATABASE_URL": f"sqlite:///{tmp_path / 'empty.sqlite3'}",
        },
        capture_output=True,
        text=True,
        check=False,
    )

    assert done.returncode == 0, done.stderr

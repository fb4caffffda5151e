"""The checks of settings: each says what is wrong and what to do, and only then."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from django.core.checks import CheckMessage, Error, Warning, run_checks

from gaugerod import checks
from tests.source_files import ROOT

# Settings differ by database, and so does what their checks find.
pytestmark = pytest.mark.django_db

FONTS = 11
"""The faces that the style sheets name."""
WAL = {"init_command": "PRAGMA synchronous=FULL; PRAGMA journal_mode = WAL;"}
DELETE = {"init_command": "PRAGMA journal_mode=DELETE; PRAGMA synchronous=EXTRA;"}


def found(number: str) -> list[CheckMessage]:
    """Return what all checks together say under one id."""
    return [one for one in run_checks() if one.id == f"gaugerod.{number}"]


def test_every_check_is_silent_as_the_program_stands() -> None:
    assert run_checks() == []


def test_every_check_says_a_sentence_and_a_way_out(
    settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    settings.DEBUG, settings.ALLOWED_HOSTS = True, ["quotes.example"]
    settings.BASE_DIR = with_sheets_only(tmp_path)
    monkeypatch.setattr(checks, "ENGINE", "an-engine-that-is-not-there")

    said = run_checks()

    assert sorted(str(one.id) for one in said) == [
        "gaugerod.E001",
        "gaugerod.E002",
        "gaugerod.E003",
    ]
    assert all(one.msg.endswith(".") and one.hint for one in said)


@pytest.mark.parametrize(
    ("https", "proxies", "warned"),
    [(True, 0, True), (True, 1, False), (True, 2, False), (False, 0, False)],
)
def test_https_without_a_proxy_counted_is_warned_of_before_it_is_served(
    settings: Any, https: bool, proxies: int, warned: bool
) -> None:
    settings.HTTPS, settings.PROXIES = https, proxies
    said = [
        one
        for one in run_checks(include_deployment_checks=True)
        if one.id == "gaugerod.W005"
    ]

    assert len(said) == warned
    assert found("W005") == []
    for one in said:
        assert isinstance(one, Warning)
        assert "all clients seem to come from its one address" in one.msg
        assert "GAUGEROD_PROXIES" in str(one.hint)


@pytest.mark.parametrize("host", ["quotes.example", "*", ".example", "192.0.2.7"])
def test_debugging_on_a_host_that_others_reach_is_refused(
    settings: Any, host: str
) -> None:
    settings.DEBUG = True
    settings.ALLOWED_HOSTS = ["localhost", host]

    [wrong] = found("E001")

    assert isinstance(wrong, Error)
    assert host in wrong.msg


def test_debugging_at_home_and_serving_without_debugging_are_fine(
    settings: Any,
) -> None:
    settings.DEBUG = True
    settings.ALLOWED_HOSTS = ["127.0.0.1", "localhost", "[::1]", "quotes.localhost"]
    assert found("E001") == []

    settings.DEBUG = False
    settings.ALLOWED_HOSTS = ["quotes.example"]
    assert found("E001") == []


def with_sheets_only(folder: Path) -> Path:
    """Copy the style sheets, and no font, into a folder."""
    shutil.copytree(ROOT / "static" / "css", folder / "static" / "css")
    return folder


def test_missing_fonts_are_a_warning_at_home_and_an_error_in_public(
    settings: Any, tmp_path: Path
) -> None:
    settings.BASE_DIR = with_sheets_only(tmp_path)

    [wrong] = found("E002")
    settings.HTTPS = True
    [worse] = found("E002")

    assert isinstance(wrong, Warning)
    assert isinstance(worse, Error)
    assert f"{FONTS} of {FONTS} fonts are missing" in wrong.msg
    assert "prepare_fonts" in str(wrong.hint)


def test_a_single_missing_font_is_named(settings: Any, tmp_path: Path) -> None:
    settings.BASE_DIR = with_sheets_only(tmp_path)
    fonts = tmp_path / "static" / "fonts"
    shutil.copytree(ROOT / "static" / "fonts", fonts)
    assert found("E002") == []

    (fonts / "serif-600.woff2").unlink()

    assert f"1 of {FONTS} fonts are missing, serif-600.woff2 first" in (
        found("E002")[0].msg
    )


@pytest.mark.parametrize(
    ("version", "refused"),
    [("69.3", True), ("9.1", True), ("70.0", False), ("70.0b1", False), ("101", False)],
)
def test_a_pdf_engine_before_70_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, version: str, refused: bool
) -> None:
    facts = tmp_path / f"weasyprint-{version}.dist-info"
    facts.mkdir()
    (facts / "METADATA").write_text(
        f"Metadata-Version: 2.1\nName: weasyprint\nVersion: {version}\n"
    )
    monkeypatch.syspath_prepend(str(tmp_path))

    wrong = found("E003")

    assert [version in one.msg for one in wrong] == [True] * refused


LOOKED_AT = pytest.mark.filterwarnings("ignore:Overriding setting DATABASES")
"""The settings are only read by the check; no connection is made from them."""


def sqlite(options: dict[str, str]) -> dict[str, Any]:
    return {"ENGINE": "django.db.backends.sqlite3", "NAME": "x", "OPTIONS": options}


@LOOKED_AT
@pytest.mark.parametrize(
    ("version", "options", "refused"),
    [
        ((3, 40, 1), WAL, True),
        ((3, 51, 2), WAL, True),
        ((3, 7, 0), WAL, True),
        ((3, 51, 3), WAL, False),
        ((3, 53, 0), WAL, False),
        ((3, 40, 1), DELETE, False),
        ((3, 40, 1), {}, False),
    ],
)
def test_a_write_ahead_log_is_refused_where_it_can_damage_the_file(
    settings: Any,
    monkeypatch: pytest.MonkeyPatch,
    version: tuple[int, int, int],
    options: dict[str, str],
    refused: bool,
) -> None:
    monkeypatch.setattr(sqlite3, "sqlite_version_info", version)
    settings.DATABASES = {"default": sqlite(options)}

    wrong = checks.no_damaging_log()

    assert [one.id for one in wrong] == ["gaugerod.E004"] * refused
    assert all("DELETE" in str(one.hint) for one in wrong)


@LOOKED_AT
def test_another_database_has_no_such_log(settings: Any) -> None:
    settings.DATABASES = {
        "default": {"ENGINE": "django.db.backends.postgresql", "NAME": "x"}
    }

    assert checks.no_damaging_log() == []


def test_the_command_refuses_debugging_in_public(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "manage.py", "check"],
        cwd=ROOT,
        env={
            **os.environ,
            "GAUGEROD_VAR": str(tmp_path),
            "GAUGEROD_DEBUG": "true",
            "GAUGEROD_HOSTS": "quotes.example",
        },
        capture_output=True,
        text=True,
        check=False,
    )

    assert done.returncode == 1
    assert "(gaugerod.E001)" in done.stderr

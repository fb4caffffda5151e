"""System checks of the settings and of what is installed: gaugerod.E001 to W005.

E001   debugging pages on a host that others reach
E002   the fonts of pages and papers were not made
E003   a PDF engine too old to be shut in
E004   SQLite with a write-ahead log in a version that can damage it
W005   HTTPS with no proxy counted, looked for by `check --deploy`
"""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Mapping
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.checks import CheckMessage, Error, Tags, Warning, register

LOOPBACK = ("127.0.0.1", "localhost", "[::1]")
ENGINE = "weasyprint"
ENGINE_LEAST = 70
SQLITE_FIRST_WAL = (3, 7, 0)
SQLITE_MENDED = (3, 51, 3)

_FONT = re.compile(r"url\(\s*[\"']?\.\./fonts/([\w.-]+)[\"']?\s*\)")
_WAL = re.compile(r"journal_mode\s*[=(]\s*[\"']?wal\b", re.IGNORECASE)


@register(Tags.security)
def no_debugging_in_public(**_given: Any) -> list[CheckMessage]:
    """Refuse Django's debugging pages on a host name that others can reach."""
    public = [
        host
        for host in settings.ALLOWED_HOSTS
        if host not in LOOPBACK and not host.endswith(".localhost")
    ]
    if not (settings.DEBUG and public):
        return []
    return [
        Error(
            f"Debugging is on while {', '.join(public)} is served: an error page would "
            "show settings and rows to strangers.",
            hint="Set GAUGEROD_DEBUG=false, or leave only local names in "
            "GAUGEROD_HOSTS.",
            id="gaugerod.E001",
        )
    ]


@register
def fonts_are_made(**_given: Any) -> list[CheckMessage]:
    """Name the fonts that are missing: an error once the program is served by HTTPS."""
    static = Path(settings.BASE_DIR) / "static"
    wanted = {
        name
        for sheet in sorted((static / "css").glob("*.css"))
        for name in _FONT.findall(sheet.read_text("utf-8"))
    }
    missing = sorted(n for n in wanted if not (static / "fonts" / n).exists())
    if not missing:
        return []
    kind = Error if settings.HTTPS else Warning
    return [
        kind(
            f"{len(missing)} of {len(wanted)} fonts are missing, {missing[0]} first: "
            "no PDF can be made, and pages fall back to other letters.",
            hint="Run: manage.py prepare_fonts",
            id="gaugerod.E002",
        )
    ]


@register(Tags.security)
def the_engine_can_be_shut_in(**_given: Any) -> list[CheckMessage]:
    """Refuse a PDF engine older than the one whose fetching can be forbidden."""
    try:
        found = version(ENGINE)
    except PackageNotFoundError:
        found = ""
    if found and int(found.split(".")[0]) >= ENGINE_LEAST:
        return []
    said = (
        f"WeasyPrint {found} is installed" if found else "WeasyPrint is not installed"
    )
    return [
        Error(
            f"{said}; papers need {ENGINE_LEAST} or newer, which can be kept from "
            "fetching addresses named in a document.",
            hint="Install the packages of requirements.txt again.",
            id="gaugerod.E003",
        )
    ]


@register
def no_damaging_log(**_given: Any) -> list[CheckMessage]:
    """Refuse a write-ahead log under a SQLite that can damage the file with it.

    Two connections that write and checkpoint at once can, rarely, corrupt the file in
    versions 3.7.0 to 3.51.2. From the announcement of 3.51.3, read second-hand.
    """
    numbers = sqlite3.sqlite_version_info
    if not SQLITE_FIRST_WAL <= numbers < SQLITE_MENDED:
        return []
    return [
        Error(
            f"The database “{name}” asks SQLite {sqlite3.sqlite_version} for a "
            "write-ahead log, which can damage the file before 3.51.3.",
            hint="Use journal_mode=DELETE with synchronous=EXTRA, or a newer SQLite.",
            id="gaugerod.E004",
        )
        for name, given in settings.DATABASES.items()
        if _asks_for_log(given)
    ]


@register(Tags.security, deploy=True)
def the_proxy_is_counted(**_given: Any) -> list[CheckMessage]:
    """Warn of HTTPS, which a proxy must end, where no proxy is believed."""
    if not settings.HTTPS or settings.PROXIES:
        return []
    return [
        Warning(
            "Pages are served by HTTPS, so a proxy stands in front, but none is "
            "counted: all clients seem to come from its one address, and one who "
            "guesses holds back everybody.",
            hint="Set GAUGEROD_PROXIES to the number of your own proxies, which is "
            "1 behind the nginx of README.",
            id="gaugerod.W005",
        )
    ]


def _asks_for_log(given: Mapping[str, Any]) -> bool:
    """Return whether a database's settings turn the write-ahead log on."""
    command = given.get("OPTIONS", {}).get("init_command", "")
    return given["ENGINE"].endswith("sqlite3") and bool(_WAL.search(command))

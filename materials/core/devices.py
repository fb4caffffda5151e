"""A device in plain words, as its browser names itself: a hint, never a proof."""

from __future__ import annotations

import re

SYSTEMS = (
    ("iPhone", "iPhone"),
    ("iPad", "iPad"),
    ("Android", "Android"),
    ("Windows", "Windows"),
    ("Mac OS X", "macOS"),
    ("CrOS", "ChromeOS"),
    ("Linux", "Linux"),
)
"""A word in the browser's own name, and what people call the system; first one wins."""
BROWSERS = (
    ("Edg", "Edge"),
    ("OPR/", "Opera"),
    ("SamsungBrowser", "Samsung"),
    ("Firefox", "Firefox"),
    ("FxiOS", "Firefox"),
    ("Chrome/", "Chrome"),
    ("CriOS", "Chrome"),
    ("Chromium", "Chrome"),
    ("Safari/", "Safari"),
)
PHONE, TABLET, COMPUTER, UNKNOWN = "phone", "tablet", "computer", "unknown"
_MOBILE = re.compile(r"\bMobi", re.IGNORECASE)


def kind_of(agent: str) -> str:
    """Return `phone`, `tablet`, `computer` or `unknown`.

    >>> kind_of("Mozilla/5.0 (Linux; Android 14) Gecko Firefox/140 Mobile")
    'phone'
    """
    system = _first(agent, SYSTEMS)
    if not system:
        return UNKNOWN
    if system == "iPad" or (system == "Android" and not _MOBILE.search(agent)):
        return TABLET
    return PHONE if system in ("iPhone", "Android") else COMPUTER


def names_of(agent: str) -> str:
    """Return system and browser, as far as they are said.

    >>> names_of("Mozilla/5.0 (X11; Linux x86_64; rv:140.0) Gecko/20100101 Firefox/140")
    'Linux, Firefox'
    """
    return ", ".join(
        name for name in (_first(agent, SYSTEMS), _first(agent, BROWSERS)) if name
    )


def _first(agent: str, table: tuple[tuple[str, str], ...]) -> str:
    return next((name for word, name in table if word in agent), "")

"""What is kept beside the database about its last verified backup.

A small file in `var/`, outside the database: when the backup was verified, and where
the audit trail ended then, so that a trail cut short later still shows.
"""

from __future__ import annotations

import json
import os
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from django.conf import settings

OLD = timedelta(hours=26)
"""A nightly backup and two hours to notice that it failed."""


def keepsake_place() -> Path:
    """Return where the file lies."""
    return Path(settings.VAR_DIR) / f"{settings.BUSINESS}-last-backup.json"


def last_backup() -> dict[str, Any]:
    """Return what is known of the last verified backup; empty if there is none."""
    try:
        found = json.loads(keepsake_place().read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return found if isinstance(found, dict) else {}


@dataclass(frozen=True, slots=True, kw_only=True)
class LastVerified:
    """When the last backup was verified, if ever, and whether that is too long ago."""

    at: datetime | None
    is_old: bool


def last_verified() -> LastVerified:
    """Return when a backup was last verified; old is more than 26 hours."""
    try:
        at = datetime.fromisoformat(str(last_backup().get("verified_at", "")))
    except ValueError:
        return LastVerified(at=None, is_old=True)
    return LastVerified(at=at, is_old=datetime.now(UTC) - at > OLD)


def keep_last_backup(facts: Mapping[str, Any]) -> None:
    """Note a verified backup; the file is replaced whole."""
    place = keepsake_place()
    place.parent.mkdir(parents=True, exist_ok=True)
    whole = place.with_suffix(".new")
    whole.write_text(json.dumps(dict(facts), indent=1), encoding="utf-8")
    os.replace(whole, place)

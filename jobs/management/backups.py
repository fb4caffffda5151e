"""Backups that are true: made in use, restored into a scratch database, checked."""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import CommandError
from django.db import OperationalError, connection

from jobs.management.archive import (
    DATABASE,
    MANIFEST,
    check_digest,
    unpack,
    write_archive,
)
from jobs.management.databases import (
    contents_of,
    engine,
    manage,
    put_in_place,
    scratch,
    snapshot,
)
from jobs.management.scratch import scratch_folder
from jobs.services.invoices import PROGRAM_VERSION
from jobs.services.keepsake import keep_last_backup
from materials.models import Business
from materials.services.outbox import lay_aside_foreign

FORMAT = "gaugerod-backup-1"


@dataclass(frozen=True, slots=True, kw_only=True)
class Verified:
    """A backup that was restored and held: its manifest and a checked, present copy."""

    manifest: dict[str, Any]
    digest: str
    seq: int
    head: str
    database: str
    media: Path


def make_backup(out: Path) -> dict[str, Any]:
    """Write a backup of the business in use, restore it aside, check it, say so.

    The database first, then the files: those are kept by content and never rewritten,
    so each one the snapshot names is there.

    Raises: CommandError if what was written does not restore whole.
    """
    at = datetime.now(UTC)
    with scratch_folder("backup") as folder:
        copy = folder / DATABASE
        contents = snapshot(copy)
        root = Path(settings.MEDIA_ROOT)
        kept = [
            (place.relative_to(root).as_posix(), place)
            for place in sorted(root.glob("kept/*/*"))
            if len(place.name) == 64
        ]
        digest = write_archive(
            out,
            facts={
                "format": FORMAT,
                "made_at": at.isoformat(timespec="seconds"),
                "program": PROGRAM_VERSION,
                "engine": engine(),
                "migrations": contents.migrations,
                "counts": contents.counts,
                "trail": {"seq": contents.seq, "digest": contents.digest},
            },
            database=copy,
            kept=kept,
        )
    with verified(out) as checked:
        facts = {
            "verified_at": datetime.now(UTC).isoformat(timespec="seconds"),
            "made_at": at.isoformat(timespec="seconds"),
            "file": str(out),
            "sha256": digest,
            "seq": contents.seq,
            "digest": contents.digest,
            "files": len(checked.manifest["files"]) - 1,
            "rows": sum(contents.counts.values()),
        }
    keep_last_backup(facts)
    return facts


@contextmanager
def verified(place: Path) -> Iterator[Verified]:
    """Restore a backup into a scratch database and folder; give it once it holds.

    Rows a table, the trail's end and every file are compared with the manifest; then
    the present schema is put on and all books are verified.

    Raises: CommandError for a damaged file, another engine, or books that do not hold.
    """
    digest = check_digest(place)
    with scratch_folder("restore") as folder:
        var = folder / "var"
        media = var / f"media-{settings.BUSINESS}"
        media.mkdir(parents=True)
        manifest = unpack(place, media)
        if manifest.get("format") != FORMAT or manifest.get("engine") != engine():
            raise CommandError(
                f"{place} is a backup of {manifest.get('engine')}; this program runs "
                f"on {engine()}. Restore it there, then use move_business."
            )
        dump = folder / DATABASE
        os.replace(media / DATABASE, dump)
        (media / MANIFEST).unlink()
        with scratch(dump) as name:
            _compare(name, manifest, place)
            seq, head = _hold(name, var, place)
            yield Verified(manifest=manifest, digest=digest, seq=seq, head=head,
                           database=name, media=media)  # fmt: skip


def _compare(name: str, manifest: dict[str, Any], place: Path) -> None:
    found = contents_of(name)
    trail = {"seq": found.seq, "digest": found.digest}
    if (found.counts, found.migrations, trail) != (
        manifest["counts"],
        manifest["migrations"],
        manifest["trail"],
    ):
        raise CommandError(f"{place} does not restore to the rows that it lists.")


def _hold(name: str, var: Path, place: Path) -> tuple[int, str]:
    result = var / "result.json"
    code, said = manage(
        "verify_books",
        "--migrate",
        "--no-anchor",
        f"--json={result}",
        database=name,
        var=var,
    )
    if code:
        raise CommandError(f"{place}: its books do not hold.\n{said}")
    facts = json.loads(result.read_text("utf-8"))
    return int(facts["seq"]), str(facts["digest"])


@dataclass(frozen=True, slots=True, kw_only=True)
class Restored:
    """Where what stood there is kept, and how many letters must be written anew."""

    before: str
    letters: int


def restore_backup(place: Path, *, replace: bool) -> Restored:
    """Put a backup in the place of the configured business, once it was verified.

    Files are added, none is taken away. Letters whose private link the signing key
    here cannot make are laid aside for a person.

    Raises: CommandError for a business that stands there, unless `replace`.
    """
    with verified(place) as checked:
        if not replace and _has_business():
            raise CommandError(
                "A business stands in this database; add --replace to put the backup "
                "in its place. What stands there is kept under another name."
            )
        for one in sorted(checked.media.glob("kept/*/*")):
            home = Path(settings.MEDIA_ROOT) / one.relative_to(checked.media)
            if not home.exists() or home.read_bytes() != one.read_bytes():
                home.parent.mkdir(parents=True, exist_ok=True)
                shutil.copyfile(one, home)
        stamp = datetime.now(UTC).strftime("%Y%m%d%H%M%S")
        before = put_in_place(checked.database, stamp=stamp)
        letters = lay_aside_foreign(at=datetime.now(UTC))
        keep_last_backup(
            {
                "verified_at": datetime.now(UTC).isoformat(timespec="seconds"),
                "made_at": checked.manifest["made_at"],
                "file": str(place),
                "sha256": checked.digest,
                "seq": checked.seq,
                "digest": checked.head,
            }
        )
    return Restored(before=before, letters=letters)


def _has_business() -> bool:
    try:
        tables = connection.introspection.table_names()
    except OperationalError:  # There is no such database yet.
        return False
    return Business._meta.db_table in tables and Business.objects.exists()


def upgrade(folder: Path) -> tuple[bool, str]:
    """Back up, bring the schema up to date, verify; if anything fails, go back.

    Return whether the upgrade stands, and what was said.
    """
    stamp = datetime.now(UTC).strftime("%Y%m%d%H%M%S")
    place = folder / f"before-upgrade-{stamp}.backup"
    make_backup(place)
    var = Path(settings.VAR_DIR)
    name = str(connection.settings_dict["NAME"])
    code, said = manage("verify_books", "--migrate", database=name, var=var)
    if code:
        before = restore_backup(place, replace=True).before
        return False, (
            "The upgrade failed, so all is as it was before; what it left is kept as "
            f"{before}.\n{said}"
        )
    return True, f"The schema is up to date and the books hold. Backup: {place}"

"""Whether what the lowest app keeps still holds: the trail, sealed rows, files.

Every check reads; none repairs. Each gives what is wrong as findings, so that one run
shows everything.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from django.conf import settings
from django.db import connection

from materials.core.chain import Finding, Step, broken_links, group_digest
from materials.models import AuditEntry, AuditHead, StoredFile
from materials.models.guarding import missing_guards
from materials.queries.seals import Seal, frozen_rows, row_digests, sealed_guards

PIECE = 1 << 20
SEAL = {"table", "guard", "rows", "columns", "digest"}


@dataclass(slots=True)
class Trail:
    """What the trail says: its end, its seals, and the last word on each subject.

    `last` maps (action, subject) to the facts of the latest such step; `orders` maps a
    subject to the actions taken on it, oldest first.
    """

    count: int = 0
    sealed: int = 0
    head: str = ""
    seals: list[Seal] = field(default_factory=list)
    last: dict[tuple[str, str], Mapping[str, Any]] = field(default_factory=dict)
    orders: dict[str, list[str]] = field(default_factory=dict)
    facts: dict[str, list[Mapping[str, Any]]] = field(default_factory=dict)


def steps() -> Iterator[Step]:
    """Give the steps of the trail in their order."""
    for entry in AuditEntry.objects.order_by("seq").iterator(chunk_size=1_000):
        yield Step(
            seq=entry.seq,
            at=entry.at,
            actor=entry.actor_id,
            actor_kind=entry.actor_kind,
            action=entry.action,
            subject=entry.subject,
            facts=entry.facts,
            previous=entry.previous,
            digest=entry.digest,
        )


def read_trail(trail: Trail, *, listed: frozenset[str]) -> Iterator[Finding]:
    """Note what the trail says, and give what is wrong with its chain: two queries.

    `listed` are the actions whose facts are wanted one by one, not only the last.
    """

    def followed() -> Iterator[Step]:
        for step in steps():
            trail.count, trail.head = step.seq, step.digest
            # Of another shape, a step is a broken link, and says nothing here.
            facts = dict(step.facts) if isinstance(step.facts, dict) else {}
            told = facts.pop("seals", ())
            those = told if isinstance(told, list) else ()
            sealed = [seal for seal in those if _is_seal(seal)]
            trail.seals.extend(sealed)
            trail.sealed += sum(len(seal["rows"]) for seal in sealed)
            trail.last[step.action, step.subject] = facts
            trail.orders.setdefault(step.subject, []).append(step.action)
            if step.action in listed:
                trail.facts.setdefault(step.action, []).append(facts)
            yield step

    head = AuditHead.objects.filter(pk=1).first() or AuditHead()
    yield from broken_links(followed(), last=head.seq, head=head.digest)


def _is_seal(found: object) -> bool:
    return isinstance(found, dict) and set(found) >= SEAL


def anchor_findings(anchor: Mapping[str, Any]) -> Iterator[Finding]:
    """Give whether the trail still holds the step an anchor outside has noted."""
    seq, digest = anchor.get("seq", 0), anchor.get("digest", "")
    if seq and not AuditEntry.objects.filter(seq=seq, digest=digest).exists():
        yield Finding(
            check="audit trail",
            where=f"step {seq}",
            says="the last verified backup has seen another trail",
        )


def seal_findings(trail: Trail) -> Iterator[Finding]:
    """Give the kept rows that were changed, are missing, or were put in unnoticed."""
    by_guard: dict[tuple[str, str], list[Seal]] = {}
    for seal in trail.seals:
        by_guard.setdefault((seal["table"], seal["guard"]), []).append(seal)
    for guard in sealed_guards():
        seals = by_guard.pop((guard.table, guard.name), [])
        sealed = {pk for seal in seals for pk in seal["rows"]}
        for pk in frozen_rows(guard):
            if pk not in sealed:
                yield _row(guard.table, pk, "it stands in no step of the trail")
        for columns in sorted({tuple(seal["columns"]) for seal in seals}):
            same = [seal for seal in seals if tuple(seal["columns"]) == columns]
            yield from _broken_seals(guard.table, columns, same)


def _broken_seals(
    table: str, columns: tuple[str, ...], seals: list[Seal]
) -> Iterator[Finding]:
    rows = row_digests(table, columns)
    for seal in seals:
        gone = [pk for pk in seal["rows"] if pk not in rows]
        for pk in gone:
            yield _row(table, pk, "it is in the trail and no longer in the table")
        if not gone and group_digest(rows[pk] for pk in seal["rows"]) != seal["digest"]:
            pks = ", ".join(str(pk) for pk in seal["rows"][:5])
            yield _row(table, pks, "it is not as it was written")


def _row(table: str, where: object, says: str) -> Finding:
    return Finding(check="kept rows", where=f"{table} {where}", says=says)


def file_findings() -> Iterator[Finding]:
    """Give the kept files that are missing or whose bytes have changed."""
    for row in StoredFile.objects.order_by("pk").iterator(chunk_size=1_000):
        place = Path(settings.MEDIA_ROOT) / kept_place(row.digest)
        says = _file_fault(place, row.digest, row.size)
        if says:
            yield Finding(
                check="kept files", where=f"{row} {row.digest[:12]}", says=says
            )


def _file_fault(place: Path, digest: str, size: int) -> str:
    if not place.is_file():
        return "the file is missing"
    if place.stat().st_size != size:
        return "the file has another size"
    return "" if file_digest(place) == digest else "the file was changed"


def file_digest(place: Path) -> str:
    """Return SHA-256 of a file's bytes, in hexadecimal, read in pieces."""
    whole = hashlib.sha256()
    with place.open("rb") as handle:
        while piece := handle.read(PIECE):
            whole.update(piece)
    return whole.hexdigest()


def kept_place(digest: str) -> str:
    """Return where in the media folder the bytes of a digest lie."""
    return f"kept/{digest[:2]}/{digest}"


def database_findings() -> Iterator[Finding]:
    """Give what the database says of itself, and the guards that do not stand."""
    for name in missing_guards(connection):
        yield Finding(
            check="database", where=name, says="the guard is missing; run migrate"
        )
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA integrity_check")
            for (line,) in cursor.fetchall():
                if line != "ok":
                    yield Finding(check="database", where="file", says=str(line))
            cursor.execute("PRAGMA foreign_key_check")
            for table, key, *_rest in cursor.fetchall():
                yield Finding(
                    check="database",
                    where=f"{table} {key}",
                    says="it points to a row that does not exist",
                )

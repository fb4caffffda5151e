"""What many tests begin with, built once by the services and then written again.

A stocked business takes a second by its services and a twentieth by its rows. The first
who asks builds it, in each process; whoever asks later in a database that stands as it
did before that gets the same rows, keys, times and files, by plain inserts.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from django.apps import apps
from django.conf import settings
from django.core.management.color import no_style
from django.db import connection, models, transaction

Rows = dict[str, list[tuple[Any, ...]]]


@dataclass(frozen=True, slots=True)
class Memory:
    """The rows of every table before something was built, and after; its files."""

    before: Rows
    after: Rows
    files: dict[str, bytes]


_KNOWN: dict[str, list[Memory]] = {}


def remembered(name: str, build: Callable[[], object]) -> None:
    """Let something be built, or write what it made in a database just like this."""
    now, had = _rows(), _kept()
    known = _KNOWN.setdefault(f"{name}, {settings.TIME_ZONE}", [])
    for one in known:
        if one.before == now:
            _write(one)
            return
    build()
    root = Path(settings.MEDIA_ROOT)
    files = {place: (root / place).read_bytes() for place in _kept() - had}
    known.append(Memory(before=now, after=_rows(), files=files))


def _models() -> Iterator[type[models.Model]]:
    for label in ("materials", "quotes", "jobs"):
        yield from apps.get_app_config(label).get_models(include_auto_created=True)


def _columns(model: type[models.Model]) -> str:
    """Return the columns that are written; others the database works out itself."""
    return ", ".join(
        connection.ops.quote_name(field.column)
        for field in model._meta.concrete_fields
        if not field.generated
    )


def _rows() -> Rows:
    """Return the rows of the tables that have some, as the database stores them."""
    found: Rows = {}
    with connection.cursor() as cursor:
        for model in _models():
            table = model._meta.db_table
            cursor.execute(f"SELECT {_columns(model)} FROM {table} ORDER BY 1")
            rows = cursor.fetchall()
            if rows:
                found[table] = rows
    return found


def _kept() -> set[str]:
    """Return where kept files lie, below the folder of the business."""
    root = Path(settings.MEDIA_ROOT)
    return {place.relative_to(root).as_posix() for place in root.glob("kept/*/*")}


def _write(known: Memory) -> None:
    """Write what was built; a table it changed and did not only add to is replaced."""
    changed = [
        one for one in _models()
        if known.after.get(one._meta.db_table) != known.before.get(one._meta.db_table)
    ]  # fmt: skip
    with transaction.atomic(), connection.cursor() as cursor:
        for model in changed:
            table = model._meta.db_table
            rows, stood = known.after[table], known.before.get(table, [])
            if rows[: len(stood)] == stood:
                rows = rows[len(stood) :]
            else:
                cursor.execute(f"DELETE FROM {table}")
            places = ", ".join(["%s"] * len(rows[0]))
            cursor.executemany(
                f"INSERT INTO {table} ({_columns(model)}) VALUES ({places})", rows
            )
        for statement in connection.ops.sequence_reset_sql(no_style(), changed):
            cursor.execute(statement)
    for place, data in known.files.items():
        home = Path(settings.MEDIA_ROOT) / place
        home.parent.mkdir(parents=True, exist_ok=True)
        home.write_bytes(data)

"""A business moved from SQLite to PostgreSQL, counted and verified.

Rows are read as SQLite keeps them and written as they are, keys and times included, in
one transaction: the move is whole or it has not happened.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import psycopg
from allauth.mfa.models import Authenticator
from django.apps import apps
from django.conf import settings
from django.core.management.base import CommandError
from django.db import connection, models
from psycopg import sql

from jobs.management.databases import manage_at
from materials.core.guards import POSTGRESQL

OWN = ("materials", "quotes", "jobs")
AT_ONCE = 1_000


def move_business(url: str) -> dict[str, int]:
    """Move everything to an empty PostgreSQL database; return the rows by table.

    Raises: CommandError from another engine, into a database that holds a business,
    or if counts or books differ afterwards; nothing is then left there.
    """
    if connection.vendor == POSTGRESQL:
        raise CommandError("This business is on PostgreSQL already.")
    if not url.startswith(("postgres://", "postgresql://")):
        raise CommandError(f"“{url[:40]}” is no address of a PostgreSQL database.")
    code, said = manage_at(url, "migrate", "--verbosity=0", var=Path(settings.VAR_DIR))
    if code:
        raise CommandError(f"The schema could not be put on: {said[-500:]}")
    with psycopg.connect(url.replace("postgres://", "postgresql://", 1)) as target:
        target.execute("SET TIME ZONE 'UTC'")
        held = target.execute("SELECT count(*) FROM materials_business").fetchone()
        if held and held[0]:
            raise CommandError("A business stands there already; name an empty one.")
        target.execute("DELETE FROM materials_audithead")
        counts = {model._meta.db_table: _copied(model, target) for model in _models()}
        for table, count in counts.items():
            found = target.execute(
                sql.SQL("SELECT count(*) FROM {}").format(sql.Identifier(table))
            ).fetchone()
            if not found or found[0] != count:
                raise CommandError(f"{table}: {count} rows were read, others arrived.")
    code, said = manage_at(
        url, "verify_books", "--no-anchor", var=Path(settings.VAR_DIR)
    )
    if code:
        raise CommandError(f"The books do not hold there; stay with SQLite.\n{said}")
    return counts


def _models() -> Iterator[type[models.Model]]:
    """Give our own tables, and the second factors of sign-in.

    Django's are made by the migrations, sessions end.
    """
    yield Authenticator
    for label in OWN:
        for model in apps.get_app_config(label).get_models(include_auto_created=True):
            if not model._meta.db_table.endswith(("_groups", "_user_permissions")):
                yield model


def _copied(model: type[models.Model], target: psycopg.Connection[Any]) -> int:
    """Copy a table, and set its counter of keys past the last; return its rows."""
    table = model._meta.db_table
    fields = [one for one in model._meta.concrete_fields if not one.generated]
    columns = [str(field.column) for field in fields]
    booleans = {
        place
        for place, field in enumerate(fields)
        if isinstance(field, models.BooleanField)
    }
    names = sql.SQL(", ").join(sql.Identifier(name) for name in columns)
    holes = sql.SQL(", ").join(sql.Placeholder() for _ in columns)
    insert = sql.SQL("INSERT INTO {} ({}) VALUES ({})").format(
        sql.Identifier(table), names, holes
    )
    count = 0
    with connection.cursor() as source, target.cursor() as sink:
        listed = ", ".join(f'"{name}"' for name in columns)
        source.execute(f'SELECT {listed} FROM "{table}" ORDER BY id')  # noqa: S608
        while rows := source.fetchmany(AT_ONCE):
            sink.executemany(
                insert,
                [
                    [
                        bool(value) if place in booleans and value is not None
                        else _plain(value)
                        for place, value in enumerate(row)
                    ]
                    for row in rows
                ],
            )  # fmt: skip
            count += len(rows)
        sink.execute(
            sql.SQL(
                "SELECT setval(pg_get_serial_sequence({}, 'id'), "
                "GREATEST((SELECT max(id) FROM {}), 1))"
            ).format(sql.Literal(table), sql.Identifier(table))
        )
    return count


def _plain(value: Any) -> Any:
    """Return a value as text where PostgreSQL reads its type from the column."""
    return value if value is None or isinstance(value, int) else str(value)

"""What never changes in this app's tables, and how guards get onto a database.

Guards are put on by a migration and, after every migration of whatever app, once more:
SQLite makes a table anew to alter it and forgets its triggers. `lowered` takes them off
for a repair or for tests that empty all tables.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from typing import Any

from django.apps import AppConfig, apps
from django.db import connections, transaction
from django.db.backends.base.base import BaseDatabaseWrapper

from materials.core.guards import (
    POSTGRESQL,
    Guard,
    create_function,
    create_guard,
    drop_guard,
    trigger_names,
)

GUARDS = (
    Guard(table="materials_auditentry"),
    Guard(table="materials_storedfile"),
    Guard(
        table="materials_offcut",
        free=(
            "state",
            "counted_on",
            "ended_on",
            "end_reason",
            "reserved_for",
            "reserved_visit",
        ),
    ),
)
"""The trail, the kept files, and pieces on the rack but for what became of them."""


def all_guards() -> tuple[Guard, ...]:
    """Return the guards of every app that has some."""
    return tuple(
        guard
        for config in apps.get_app_configs()
        for guard in getattr(config, "guards", ())
    )


def raise_guards(connection: BaseDatabaseWrapper, guards: Iterable[Guard]) -> None:
    """Put guards on the tables that exist, in place of whatever stood there."""
    with connection.cursor() as cursor:
        tables = set(connection.introspection.table_names(cursor))
        if connection.vendor == POSTGRESQL:
            cursor.execute(create_function())
        for guard in guards:
            if guard.table not in tables:
                continue
            columns = _columns(connection, cursor, guard.table)
            for statement in (
                *drop_guard(guard, engine=connection.vendor),
                *create_guard(guard, columns=columns, engine=connection.vendor),
            ):
                cursor.execute(statement)


def _columns(connection: BaseDatabaseWrapper, cursor: Any, table: str) -> list[str]:
    """Return the names of a table's columns, in its order.

    Read off an empty answer: Django's introspection takes the table's whole text apart
    on SQLite, which made each migration and each restore wait.
    """
    cursor.execute(
        f"SELECT * FROM {connection.ops.quote_name(table)} LIMIT 0"  # noqa: S608
    )
    return [column[0] for column in cursor.description]


def lower_guards(connection: BaseDatabaseWrapper, guards: Iterable[Guard]) -> None:
    """Take guards off the tables that exist."""
    with connection.cursor() as cursor:
        tables = set(connection.introspection.table_names(cursor))
        for guard in guards:
            if guard.table in tables:
                for statement in drop_guard(guard, engine=connection.vendor):
                    cursor.execute(statement)


@contextmanager
def lowered(using: str = "default") -> Iterator[None]:
    """Take every guard off for a repair, and put them back."""
    connection = connections[using]
    lower_guards(connection, all_guards())
    try:
        yield
    finally:
        raise_guards(connection, all_guards())


def missing_guards(connection: BaseDatabaseWrapper) -> list[str]:
    """Return the names of triggers that should stand in the database and do not."""
    wanted = set(trigger_names(all_guards(), engine=connection.vendor))
    with connection.cursor() as cursor:
        if connection.vendor == POSTGRESQL:
            cursor.execute("SELECT tgname FROM pg_trigger WHERE tgenabled <> 'D'")
        else:
            cursor.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
        found = {row[0] for row in cursor.fetchall()}
    return sorted(wanted - found)


def keep_raised(sender: AppConfig, using: str, **_given: Any) -> None:
    """Put the guards of an app back after a migration."""
    with transaction.atomic(using=using):
        raise_guards(connections[using], getattr(sender, "guards", ()))


Step = Callable[[Any, Any], None]


def guard_steps(guards: Sequence[Guard]) -> tuple[Step, Step]:
    """Return what a migration runs forwards and backwards."""

    def forwards(_apps: Any, schema_editor: Any) -> None:
        raise_guards(schema_editor.connection, guards)

    def backwards(_apps: Any, schema_editor: Any) -> None:
        lower_guards(schema_editor.connection, guards)

    return forwards, backwards

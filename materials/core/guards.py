"""What may never change in a table, written as triggers of the database itself.

A service refuses politely; a trigger refuses whoever writes, by whatever path: a query
set, a bulk update, a cascade, raw SQL. A guard freezes every column that it does not
name, so that a column added later is frozen until somebody says it may change.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

SQLITE, POSTGRESQL = "sqlite", "postgresql"
REFUSE = "gaugerod_refuse"
"""The function that PostgreSQL's triggers call; SQLite raises in place."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Guard:
    """What is frozen in a table's rows, from when on.

    `when` is an SQL condition on OLD; empty means from the first moment. `free`
    columns may change at any time, `once` columns from nothing to something, and
    `grows` columns only upwards. `never` are SQL conditions on OLD and NEW that are
    refused besides. A row that is frozen cannot be deleted.
    """

    table: str
    name: str = "kept"
    when: str = ""
    free: tuple[str, ...] = ()
    once: tuple[str, ...] = ()
    grows: tuple[str, ...] = ()
    never: tuple[str, ...] = ()

    @property
    def trigger(self) -> str:
        """The trigger's name, without the event it stands for."""
        return f"guard_{self.table}_{self.name}"

    def frozen(self, columns: Iterable[str]) -> tuple[str, ...]:
        """Return which of a table's columns never change."""
        open_ones = {*self.free, *self.once, *self.grows}
        return tuple(name for name in columns if name not in open_ones)

    @property
    def sentence(self) -> str:
        """What the database says to whoever tries."""
        return f"{self.table} is kept as it was written; enter a correction instead."


def create_guard(guard: Guard, *, columns: Iterable[str], engine: str) -> list[str]:
    """Return the statements that put a guard on its table.

    Shape: on PostgreSQL three triggers (change, delete, truncate), which need
    `create_function` first; on SQLite two, for it knows no truncate.
    """
    changed = _changed(guard, columns, engine)
    when = f"({guard.when}) AND ({changed})" if guard.when else changed
    events = [("update", "UPDATE", when), ("delete", "DELETE", guard.when)]
    return [
        _create(guard, event=event, verb=verb, when=condition, engine=engine)
        for event, verb, condition in events
    ] + ([_no_truncate(guard)] if engine == POSTGRESQL else [])


def drop_guard(guard: Guard, *, engine: str) -> list[str]:
    """Return the statements that take a guard off its table, if it is there."""
    events = ("update", "delete", *(("truncate",) if engine == POSTGRESQL else ()))
    on = f' ON "{guard.table}"' if engine == POSTGRESQL else ""
    return [f'DROP TRIGGER IF EXISTS "{guard.trigger}_{event}"{on}' for event in events]


def create_function() -> str:
    """Return the statement that makes PostgreSQL's refusing function."""
    return (
        f"CREATE OR REPLACE FUNCTION {REFUSE}() RETURNS trigger LANGUAGE plpgsql AS "
        "$$ BEGIN RAISE EXCEPTION '%', TG_ARGV[0] "
        "USING ERRCODE = 'integrity_constraint_violation'; END $$"
    )


def trigger_names(guards: Iterable[Guard], *, engine: str) -> Iterator[str]:
    """Give the names of all triggers that guards stand for."""
    events = ("update", "delete", *(("truncate",) if engine == POSTGRESQL else ()))
    for guard in guards:
        for event in events:
            yield f"{guard.trigger}_{event}"


def _changed(guard: Guard, columns: Iterable[str], engine: str) -> str:
    """Return the condition under which an update touches what is frozen."""
    differs = "IS DISTINCT FROM" if engine == POSTGRESQL else "IS NOT"
    parts = [f'OLD."{name}" {differs} NEW."{name}"' for name in guard.frozen(columns)]
    parts.extend(
        f'(OLD."{name}" IS NOT NULL AND OLD."{name}" {differs} NEW."{name}")'
        for name in guard.once
    )
    parts.extend(
        f'(OLD."{name}" IS NOT NULL AND '
        f'(NEW."{name}" IS NULL OR NEW."{name}" < OLD."{name}"))'
        for name in guard.grows
    )
    parts.extend(f"({condition})" for condition in guard.never)
    return " OR ".join(parts)


def _create(guard: Guard, *, event: str, verb: str, when: str, engine: str) -> str:
    head = (
        f'CREATE TRIGGER "{guard.trigger}_{event}" BEFORE {verb} ON "{guard.table}" '
        "FOR EACH ROW"
    )
    condition = f" WHEN ({when})" if when else ""
    if engine == POSTGRESQL:
        return f"{head}{condition} EXECUTE FUNCTION {REFUSE}('{guard.sentence}')"
    return f"{head}{condition} BEGIN SELECT RAISE(ABORT, '{guard.sentence}'); END"


def _no_truncate(guard: Guard) -> str:
    return (
        f'CREATE TRIGGER "{guard.trigger}_truncate" BEFORE TRUNCATE ON '
        f"\"{guard.table}\" EXECUTE FUNCTION {REFUSE}('{guard.sentence}')"
    )

"""Guards as SQL: frozen unless named, in the words of either database."""

from __future__ import annotations

import sqlite3

import pytest

from materials.core.guards import (
    Guard,
    create_function,
    create_guard,
    drop_guard,
    trigger_names,
)

COLUMNS = ("id", "state", "paid", "number", "last")
GUARD = Guard(
    table="bill",
    when="OLD.state <> 'draft'",
    free=("state",),
    once=("paid",),
    grows=("last",),
    never=("NEW.state = 'draft'",),
)


@pytest.fixture
def table() -> sqlite3.Connection:
    database = sqlite3.connect(":memory:")
    database.execute("CREATE TABLE bill (id INTEGER, state, paid, number, last)")
    for statement in create_guard(GUARD, columns=COLUMNS, engine="sqlite"):
        database.execute(statement)
    database.execute("INSERT INTO bill VALUES (1, 'draft', NULL, 'A', 1)")
    return database


def test_a_column_that_nobody_named_is_frozen() -> None:
    assert GUARD.frozen((*COLUMNS, "added_later")) == ("id", "number", "added_later")


def test_before_its_time_a_row_is_free(table: sqlite3.Connection) -> None:
    table.execute("UPDATE bill SET number = 'B', last = 0, paid = 3, paid = 4")
    table.execute("DELETE FROM bill")


@pytest.mark.parametrize(
    "change",
    [
        "UPDATE bill SET number = 'B'",
        "UPDATE bill SET number = NULL",
        "UPDATE bill SET last = 0",
        "UPDATE bill SET last = NULL",
        "UPDATE bill SET state = 'draft'",
        "UPDATE bill SET paid = 6",
        "UPDATE bill SET paid = NULL",
        "DELETE FROM bill",
    ],
)
def test_a_frozen_row_refuses(table: sqlite3.Connection, change: str) -> None:
    table.execute("UPDATE bill SET state = 'issued'")
    table.execute("UPDATE bill SET paid = 5")

    with pytest.raises(sqlite3.IntegrityError, match="kept as it was written"):
        table.execute(change)


def test_a_frozen_row_may_go_on(table: sqlite3.Connection) -> None:
    table.execute("UPDATE bill SET state = 'issued'")

    table.execute("UPDATE bill SET state = 'settled', last = 2, paid = 5")

    assert table.execute("SELECT * FROM bill").fetchone() == (1, "settled", 5, "A", 2)


def test_dropped_guards_refuse_nothing(table: sqlite3.Connection) -> None:
    table.execute("UPDATE bill SET state = 'issued'")
    for statement in drop_guard(GUARD, engine="sqlite"):
        table.execute(statement)

    table.execute("DELETE FROM bill")


def test_postgresql_is_told_the_same_and_refuses_to_truncate() -> None:
    update, delete, truncate = create_guard(GUARD, columns=COLUMNS, engine="postgresql")

    assert 'OLD."number" IS DISTINCT FROM NEW."number"' in update
    assert "WHEN (OLD.state <> 'draft')" in delete
    assert "BEFORE TRUNCATE" in truncate
    assert "gaugerod_refuse()" in create_function()
    assert len(drop_guard(GUARD, engine="postgresql")) == 3
    assert list(trigger_names([GUARD], engine="sqlite")) == [
        "guard_bill_kept_update",
        "guard_bill_kept_delete",
    ]

"""One database as a whole: a copy in use, a scratch one, one put in another's place.

SQLite by its online backup, PostgreSQL by its own dump under one exported snapshot; a
file is never copied while it is in use.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import quote

import psycopg
from django.conf import settings
from django.core.management.base import CommandError
from django.db import connection, connections
from psycopg import sql

from jobs.management.scratch import scratch_folder
from materials.core.guards import POSTGRESQL

Rows = Callable[[str], list[tuple[Any, ...]]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Contents:
    """What a database held at one moment: rows a table, migrations, the trail's end."""

    counts: dict[str, int]
    migrations: list[list[str]]
    seq: int
    digest: str


def contents_by(rows: Rows, *, engine: str) -> Contents:
    """Return the contents of a database, asked by a function that runs a query."""
    listing = (
        "SELECT tablename FROM pg_tables WHERE schemaname = current_schema()"
        if engine == POSTGRESQL
        else "SELECT name FROM sqlite_master WHERE type = 'table' "
        "AND name NOT LIKE 'sqlite_%'"
    )
    tables = sorted(row[0] for row in rows(listing))
    counts = {
        table: int(rows(f'SELECT count(*) FROM "{table}"')[0][0])  # noqa: S608
        for table in tables
    }
    done = "SELECT app, name FROM django_migrations ORDER BY id"
    last = (
        rows("SELECT seq, digest FROM materials_auditentry ORDER BY seq DESC LIMIT 1")
        if "materials_auditentry" in counts
        else []
    )
    return Contents(
        counts=counts,
        migrations=[list(row) for row in rows(done)] if "django_migrations" in counts
        else [],
        seq=last[0][0] if last else 0,
        digest=last[0][1] if last else "",
    )  # fmt: skip


def engine() -> str:
    """Return the configured engine: sqlite or postgresql."""
    return connection.vendor


def database_url(name: str | None = None) -> str:
    """Return the configured database as a URL, under another name if one is given."""
    given = connection.settings_dict
    wanted = name or str(given["NAME"])
    if engine() != POSTGRESQL:
        return f"sqlite:///{Path(wanted).absolute()}"
    who = quote(given["USER"], safe="")
    if given["PASSWORD"]:
        who += f":{quote(given['PASSWORD'], safe='')}"
    at = f"{given['HOST'] or 'localhost'}:{given['PORT'] or 5432}"
    return f"postgres://{who}@{at}/{quote(wanted, safe='')}"


def _pg(name: str, *, autocommit: bool = False) -> psycopg.Connection[Any]:
    url = database_url(name).replace("postgres://", "postgresql://", 1)
    return psycopg.connect(url, autocommit=autocommit)


def _tool(name: str, *arguments: str, database: str) -> None:
    """Run one of PostgreSQL's own programs on a database; the password by its file."""
    given = connection.settings_dict
    environment = {
        **os.environ,
        "PGHOST": str(given["HOST"] or "localhost"),
        "PGPORT": str(given["PORT"] or 5432),
        "PGUSER": str(given["USER"]),
        "PGPASSWORD": str(given["PASSWORD"] or ""),
    }
    found = shutil.which(name)
    if found is None:
        raise CommandError(f"{name} is not installed; install postgresql-client.")
    done = subprocess.run(  # noqa: S603 - our own arguments
        [found, *arguments, "--dbname", database],
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        raise CommandError(f"{name} failed: {done.stderr.strip()[-500:]}")


def snapshot(into: Path) -> Contents:
    """Copy the database in use to a file; return what it held at that moment."""
    name = str(connection.settings_dict["NAME"])
    _must_be_there(name)
    if engine() != POSTGRESQL:
        source = sqlite3.connect(f"file:{name}?mode=ro", uri=True, timeout=30)
        copy = sqlite3.connect(into)
        try:
            source.backup(copy)
            return contents_by(lambda text: copy.execute(text).fetchall(),
                               engine="sqlite")  # fmt: skip
        finally:
            source.close()
            copy.close()
    with _pg(name) as held:
        held.isolation_level = psycopg.IsolationLevel.REPEATABLE_READ
        held.read_only = True
        mark = held.execute("SELECT pg_export_snapshot()").fetchall()[0][0]
        contents = contents_by(lambda text: held.execute(text.encode()).fetchall(),
                               engine=POSTGRESQL)  # fmt: skip
        _tool("pg_dump", "--format=custom", "--no-owner", "--no-privileges",
              f"--snapshot={mark}", f"--file={into}", database=name)  # fmt: skip
    return contents


def _must_be_there(name: str) -> None:
    if engine() != POSTGRESQL:
        found = Path(name).exists()
    else:
        asked = "SELECT 1 FROM pg_database WHERE datname = %s"
        with _pg("postgres") as server:
            found = server.execute(asked, [name]).fetchone() is not None
    if not found:
        raise CommandError(f"There is no database {name} to be backed up.")


@contextmanager
def scratch(dump: Path) -> Iterator[str]:
    """Give the name of a database restored from a copy; it is gone afterwards."""
    if engine() != POSTGRESQL:
        with scratch_folder("scratch") as folder:
            place = folder / "scratch.sqlite3"
            shutil.copyfile(dump, place)
            yield str(place)
        return
    name = f"{connection.settings_dict['NAME']}_check_{os.getpid()}"
    with _pg("postgres", autocommit=True) as server:
        _drop_left_over(server)
        server.execute(_name("CREATE DATABASE {}", name))
    try:
        _tool("pg_restore", "--exit-on-error", "--no-owner", "--no-privileges",
              str(dump), database=name)  # fmt: skip
        yield name
    finally:
        with _pg("postgres", autocommit=True) as server:
            server.execute(_name("DROP DATABASE IF EXISTS {} WITH (FORCE)", name))


def _drop_left_over(server: psycopg.Connection[Any]) -> None:
    """Drop the scratch databases of ours whose process is gone: it was killed."""
    begins = f"{connection.settings_dict['NAME']}_check_"
    asked = "SELECT datname FROM pg_database WHERE starts_with(datname::text, %s)"
    for (one,) in server.execute(asked, [begins]).fetchall():
        number = one.removeprefix(begins)
        if number.isdecimal() and not _lives(int(number)):
            # Another machine's, in use by it, is not dropped: the server refuses.
            with suppress(psycopg.errors.ObjectInUse):
                server.execute(_name("DROP DATABASE {}", one))


def _lives(pid: int) -> bool:
    if pid == os.getpid():
        return False
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    except PermissionError:
        return True
    return True


def _name(text: str, *names: str) -> sql.Composed:
    return sql.SQL(text).format(*(sql.Identifier(name) for name in names))


def contents_of(name: str) -> Contents:
    """Return what a database holds now, by its name."""
    if engine() != POSTGRESQL:
        held = sqlite3.connect(f"file:{name}?mode=ro", uri=True)
        try:
            return contents_by(lambda text: held.execute(text).fetchall(),
                               engine="sqlite")  # fmt: skip
        finally:
            held.close()
    with _pg(name) as server:
        return contents_by(lambda text: server.execute(text.encode()).fetchall(),
                           engine=POSTGRESQL)  # fmt: skip


def put_in_place(name: str, *, stamp: str) -> str:
    """Put a scratch database in the place of the configured one, in one stroke.

    Whoever is killed meanwhile leaves the old one there or the new one, never none.
    Return the name under which the old one is kept.
    """
    target = str(connection.settings_dict["NAME"])
    connections.close_all()
    if engine() != POSTGRESQL:
        return _swap_files(name, target, f"{target}.before-{stamp}")
    before = f"{target}_before_{stamp}"
    with _pg("postgres") as server:
        for one in (target, name):
            server.execute(
                "SELECT pg_terminate_backend(pid) FROM pg_stat_activity "
                "WHERE datname = %s AND pid <> pg_backend_pid()",
                [one],
            )
        if server.execute(
            "SELECT 1 FROM pg_database WHERE datname = %s", [target]
        ).fetchone():
            server.execute(_name("ALTER DATABASE {} RENAME TO {}", target, before))
        server.execute(_name("ALTER DATABASE {} RENAME TO {}", name, target))
    return before


def _swap_files(name: str, target: str, before: str) -> str:
    whole = f"{target}.new"
    shutil.copyfile(name, whole)
    with Path(whole).open("rb") as handle:
        os.fsync(handle.fileno())
    if Path(target).exists():
        _roll_back(target)
        try:
            os.link(target, before)
        except OSError:  # A file system without links, such as a stick's.
            shutil.copyfile(target, before)
        journal = Path(f"{target}-journal")
        if journal.exists():
            os.replace(journal, f"{before}-journal")
    os.replace(whole, target)
    return before


def _roll_back(place: str) -> None:
    """Let SQLite undo what a killed writer left half done, while its journal lies by.

    Its journal must not be found beside another database. What is too damaged to be
    opened is kept as it is.
    """
    with suppress(sqlite3.Error), closing(sqlite3.connect(place)) as held:
        held.execute("SELECT count(*) FROM sqlite_master").fetchall()


def manage(*arguments: str, database: str, var: Path) -> tuple[int, str]:
    """Run a command of ours on another database and folder; its code and words."""
    return manage_at(database_url(database), *arguments, var=var)


def manage_at(url: str, *arguments: str, var: Path) -> tuple[int, str]:
    """Run a command of ours on the database at an address; its code and words."""
    environment = {
        **os.environ,
        "DATABASE_URL": url,
        "GAUGEROD_VAR": str(var),
        "GAUGEROD_BUSINESS": settings.BUSINESS,
        "GAUGEROD_SECRET_KEY": settings.SECRET_KEY,
    }
    environment.pop("REDIS_URL", None)
    done = subprocess.run(  # noqa: S603 - our own program
        [sys.executable, str(settings.BASE_DIR / "manage.py"), *arguments],
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    return done.returncode, done.stdout + done.stderr

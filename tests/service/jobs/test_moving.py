"""A business moved from SQLite to PostgreSQL: every row, counted and verified there."""

from __future__ import annotations

import os
import socket
from collections.abc import Iterator
from io import StringIO
from pathlib import Path
from typing import Any

import psycopg
import pytest
from allauth.mfa.models import Authenticator
from django.core.management import CommandError, call_command
from django.db import connection

from materials.models import Person
from tests.service.jobs.whole_business import a_whole_business

HOME = "postgresql://postgres@127.0.0.1:5432"
NAME = f"gaugerod_move_{os.getpid()}"

pytestmark = pytest.mark.django_db(transaction=True)


def answers() -> bool:
    with socket.socket() as probe:
        probe.settimeout(1)
        return probe.connect_ex(("127.0.0.1", 5432)) == 0


@pytest.fixture
def empty_database() -> Iterator[str]:
    if connection.vendor == "postgresql" or not answers():
        pytest.skip("moves from SQLite, and needs PostgreSQL beside it")
    with psycopg.connect(f"{HOME}/postgres", autocommit=True) as server:
        server.execute(f"CREATE DATABASE {NAME}".encode())
    yield f"postgres://postgres@127.0.0.1:5432/{NAME}"
    with psycopg.connect(f"{HOME}/postgres", autocommit=True) as server:
        server.execute(f"DROP DATABASE {NAME} WITH (FORCE)".encode())


def test_everything_arrives_and_holds(
    empty_database: str, settings: Any, tmp_path: Path
) -> None:
    settings.VAR_DIR = tmp_path
    settings.MEDIA_ROOT = tmp_path / f"media-{settings.BUSINESS}"
    a_whole_business()
    Authenticator.objects.create(
        user=Person.objects.order_by("pk")[0], type="totp", data={"secret": "sealed"}
    )
    said = StringIO()

    call_command("move_business", empty_database, stdout=said)

    assert "moved, verified" in said.getvalue()
    with psycopg.connect(f"{HOME}/{NAME}") as there:
        paid = there.execute("SELECT amount FROM jobs_payment").fetchall()
        assert paid == [(9_000_000,)]
        second = there.execute("SELECT type, data FROM mfa_authenticator").fetchall()
        assert second == [("totp", {"secret": "sealed"})]
        with pytest.raises(psycopg.errors.IntegrityConstraintViolation):
            there.execute("UPDATE jobs_payment SET amount = 1")
    with pytest.raises(CommandError, match="stands there already"):
        call_command("move_business", empty_database)


def test_only_from_sqlite_to_postgresql() -> None:
    wrong = "sqlite:///elsewhere.sqlite3"

    with pytest.raises(CommandError, match="PostgreSQL"):
        call_command("move_business", wrong)

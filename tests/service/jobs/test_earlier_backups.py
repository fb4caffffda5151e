"""A backup of every earlier schema restores with the program of today.

The schemas are made by migrating back, one migration of ours at a time; the restore
migrates forward. The gate restores the oldest and one between; with
`GAUGEROD_SCHEMAS=all`, as in the deep gate, each.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings as configured
from django.core.management import call_command
from django.db import connection, connections
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.recorder import MigrationRecorder
from django.utils import timezone

from jobs.management import databases
from jobs.management.archive import write_archive
from jobs.management.backups import restore_backup
from jobs.models import Usage
from jobs.queries.all_books import check_books
from tests.service.jobs.test_backups import forget_replaced
from tests.service.jobs.whole_business import a_whole_business

pytestmark = pytest.mark.django_db(transaction=True)

OURS = ("materials", "quotes", "jobs")
ALL = os.environ.get("GAUGEROD_SCHEMAS", "") == "all"


@pytest.fixture(autouse=True)
def own_folder(settings: Any, tmp_path: Path) -> Iterator[Path]:
    settings.VAR_DIR = tmp_path
    settings.MEDIA_ROOT = tmp_path / f"media-{settings.BUSINESS}"
    yield tmp_path
    forget_replaced()
    call_command("migrate", verbosity=0)


def steps_back() -> list[tuple[str, str]]:
    """Return app and migration to go back to, one after the other, newest first.

    The last leaves the first migrations of all apps, before which nothing was kept.
    """
    executor = MigrationExecutor(connection)
    graph = executor.loader.graph
    plan = executor.migration_plan(graph.leaf_nodes(), clean_start=True)
    return [
        parent.key
        for one, _back in reversed(plan)
        if one.app_label in OURS
        for parent in graph.node_map[one.app_label, one.name].parents
        if parent.key[0] == one.app_label
    ]


def pack_as_it_stands(media: Path, out: Path) -> int:
    """Write a backup of the present schema; return how many migrations made it."""
    copy = out.with_suffix(".database")
    contents = databases.snapshot(copy)
    write_archive(
        out,
        facts={
            "format": "gaugerod-backup-1",
            "engine": connection.vendor,
            "made_at": timezone.now().isoformat(),
            "migrations": contents.migrations,
            "counts": contents.counts,
            "trail": {"seq": contents.seq, "digest": contents.digest},
        },
        database=copy,
        kept=[
            (place.relative_to(media).as_posix(), place)
            for place in media.glob("kept/*/*")
        ],
    )
    return len(contents.migrations)


def test_a_backup_of_every_earlier_schema_restores_and_holds(own_folder: Path) -> None:
    a_whole_business(rack=False)
    media = own_folder / f"media-{configured.BUSINESS}"
    back = steps_back()
    whole = len(MigrationRecorder(connection).applied_migrations())
    chosen = range(len(back)) if ALL else (len(back) // 2, len(back) - 1)
    made: dict[Path, int] = {}
    before = 0
    for number in chosen:
        # Undone together, each app at one go, what lies between two chosen schemas.
        for app, name in dict(back[before : number + 1]).items():
            call_command("migrate", app, name, verbosity=0)
        before = number + 1
        out = own_folder / f"{number:02}.backup"
        made[out] = pack_as_it_stands(media, out)
        assert made[out] == whole - before
    assert len(back) >= 10
    assert len(set(made.values())) == len(chosen)

    for out in made:
        restore_backup(out, replace=True)
        connections.close_all()
        assert Usage.objects.count() == 1, out
        assert [one.says for one in check_books().findings] == [], out

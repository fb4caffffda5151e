"""An upgrade killed in the middle of a migration leaves a sound business behind.

The upgrade runs as its own process and kills itself and its parent with SIGKILL between
two operations of a migration of the real database, not of the copy it verifies first.
`GAUGEROD_KILLS_OF_UPGRADES` says at how many places: few in the gate, all in the deep
one.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings as configured
from django.core.management import call_command
from django.db import connection, connections
from django.db.migrations.executor import MigrationExecutor

from jobs.management import databases
from jobs.models import Usage
from jobs.queries.all_books import check_books
from jobs.services.keepsake import last_backup
from tests.service.jobs.test_backups import forget_replaced
from tests.service.jobs.whole_business import a_whole_business
from tests.source_files import ROOT

pytestmark = pytest.mark.django_db(transaction=True)

PLACES = int(os.environ.get("GAUGEROD_KILLS_OF_UPGRADES", "1"))
BACK_TO = (("materials", "0004"), ("quotes", "0003"))
"""An earlier schema with guards, from which several migrations lead to this one."""
KILLER = """
import os, signal
from pathlib import Path
from django.db.migrations import migration

def killing(real):
    def apply(self, state, schema_editor, collect_sql=False):
        for operation in self.operations:
            forwards = operation.database_forwards
            def counted(*given, _forwards=forwards, **named):
                _forwards(*given, **named)
                place = Path(os.environ["GAUGEROD_VAR"]) / "operations"
                done = int(place.read_text()) if place.exists() else 0
                place.write_text(str(done + 1))
                if done + 1 == int(os.environ["KILL_AFTER"]):
                    os.killpg(0, signal.SIGKILL)
            operation.database_forwards = counted
        return real(self, state, schema_editor, collect_sql)
    return apply

if os.environ.get("GAUGEROD_VAR") == os.environ["KILL_IN"]:
    migration.Migration.apply = killing(migration.Migration.apply)
"""
"""Read by every Python that starts beside it; it counts in one database only."""


@pytest.fixture(autouse=True)
def own_folder(settings: Any, tmp_path: Path) -> Iterator[Path]:
    settings.VAR_DIR = tmp_path
    settings.MEDIA_ROOT = tmp_path / f"media-{settings.BUSINESS}"
    yield tmp_path
    forget_replaced()
    call_command("migrate", verbosity=0)


def upgraded(folder: Path, *, kill_after: int) -> tuple[int, str]:
    """Run the command as its own process; return how it ended and what it said."""
    hook = folder / "hook"
    hook.mkdir(exist_ok=True)
    (hook / "sitecustomize.py").write_text(KILLER, "utf-8")
    (folder / "operations").unlink(missing_ok=True)
    connections.close_all()
    done = subprocess.run(
        [sys.executable, str(ROOT / "manage.py"), "upgrade"],
        env={
            **os.environ,
            "PYTHONPATH": str(hook),
            "DATABASE_URL": databases.database_url(),
            "GAUGEROD_VAR": str(folder),
            "GAUGEROD_BUSINESS": configured.BUSINESS,
            "GAUGEROD_SECRET_KEY": configured.SECRET_KEY,
            "KILL_IN": str(folder),
            "KILL_AFTER": str(kill_after),
        },
        start_new_session=True,
        capture_output=True,
        text=True,
        check=False,
    )
    return done.returncode, done.stdout + done.stderr


def earlier_business() -> int:
    """Store a business in an earlier schema; return how many operations lead on."""
    a_whole_business(rack=False)
    for app, name in BACK_TO:
        call_command("migrate", app, name, verbosity=0)
    executor = MigrationExecutor(connection)
    plan = executor.migration_plan(executor.loader.graph.leaf_nodes())
    return sum(len(migration.operations) for migration, _back in plan)


def places(operations: int) -> list[int]:
    """Return after which operations to kill: spread over all of them."""
    wanted = min(PLACES, operations)
    return [
        1 + place * (operations - 1) // max(1, wanted - 1) for place in range(wanted)
    ]


def holds() -> bool:
    connections.close_all()
    return (
        Usage.objects.count() == 1 and check_books(anchor=last_backup()).findings == ()
    )


def killed(folder: Path, after: int) -> None:
    code, said = upgraded(folder, kill_after=after)
    assert code == -signal.SIGKILL, said
    assert int((folder / "operations").read_text()) == after


def test_a_second_upgrade_ends_what_a_killed_one_began(own_folder: Path) -> None:
    operations = earlier_business()
    assert operations > 3
    for after in places(operations):
        for app, name in BACK_TO:
            call_command("migrate", app, name, verbosity=0)
        killed(own_folder, after)

        code, said = upgraded(own_folder, kill_after=0)

        assert code == 0, said
        assert "the books hold" in said
        assert holds()


def test_the_backup_made_before_a_killed_upgrade_restores(own_folder: Path) -> None:
    killed(own_folder, max(1, earlier_business() // 2))
    [made] = (own_folder / "backups").glob("before-upgrade-*.backup")

    call_command("restore", str(made), replace=True, verbosity=0)

    assert holds()

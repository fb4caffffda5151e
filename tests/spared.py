"""What a run of tests is spared, and what of it they check none the less.

Dear hashes: Argon2 stays, its cost goes. Waiting for the disk: a killed process loses
nothing by it, only a power cut does. Migrating again: tables migrated once are copied.
"""

from __future__ import annotations

import fcntl
import hashlib
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from importlib.metadata import version
from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib.auth.hashers import Argon2PasswordHasher
from django.db import connection

from tests.source_files import ROOT

COSTS = ("time_cost", "memory_cost", "parallelism")
DEAR = {name: getattr(Argon2PasswordHasher, name) for name in COSTS}
"""What a password's hash costs in use; whoever measures it puts it back."""
CHEAP = {"time_cost": 1, "memory_cost": 8, "parallelism": 1}
"""The least that Argon2 takes: one pass over 8 KiB."""
TABLES_OF = ("Django", "django-allauth", "django-axes")
WORKER = os.environ.get("PYTEST_XDIST_WORKER", "")
WORKERS = int(os.environ.get("PYTEST_XDIST_WORKER_COUNT", "0"))


def hash_at(costs: dict[str, int]) -> None:
    """Let passwords be hashed at these costs from now on."""
    for name, cost in costs.items():
        setattr(Argon2PasswordHasher, name, cost)


def do_not_wait_for_the_disk() -> None:
    """Let commits of this process return before they are on the disk.

    Programs that tests start take the settings as they are in use.
    """
    options = settings.DATABASES["default"].setdefault("OPTIONS", {})
    if connection.vendor == "postgresql":
        options["options"] = "-c synchronous_commit=off"
    else:
        options["init_command"] = options["init_command"].replace(
            "synchronous=EXTRA", "synchronous=OFF"
        )


def make_tables_once(shared: Path) -> None:
    """Let the first who needs a test database migrate it, and others copy it.

    `shared` is a folder of the processes of one run.
    """
    creation = connection.creation
    make: Any = creation.create_test_db
    how = _copied_server if connection.vendor == "postgresql" else _copied_file
    creation.create_test_db = partial(how, make, shared)  # type: ignore[method-assign]


@contextmanager
def _alone(place: Path) -> Iterator[None]:
    with place.open("w") as handle:
        fcntl.flock(handle, fcntl.LOCK_EX)
        yield


def _sources() -> str:
    """Return a digest of all that tables and triggers are made from."""
    found = hashlib.sha256(" ".join(map(version, TABLES_OF)).encode())
    for app in ("materials", "quotes", "jobs", "gaugerod"):
        for place in sorted((ROOT / app).rglob("*.py")):
            found.update(f"\n{place.relative_to(ROOT)}\n".encode())
            found.update(place.read_bytes())
    return found.hexdigest()[:16]


def _copied_file(make: Any, _shared: Path, **given: Any) -> Any:
    """Make a file of SQLite, or copy the one that these very sources made."""
    place = Path(settings.DATABASES["default"]["TEST"]["NAME"])
    folder = Path(settings.VAR_DIR)
    whole = folder / f"migrated-{_sources()}.sqlite3"
    with _alone(folder / "migrated.lock"):
        if whole.exists():
            shutil.copyfile(whole, place)
            return make(**{**given, "keepdb": True})
        made = make(**given)
        connection.close()
        for old in folder.glob("migrated-*.sqlite3"):
            old.unlink()
        shutil.copyfile(place, whole.with_suffix(".new"))
        whole.with_suffix(".new").replace(whole)
        return made


def _copied_server(make: Any, shared: Path, **given: Any) -> Any:
    """Make a database of PostgreSQL, and one like it for each other worker of xdist."""
    if not WORKER:
        return make(**given)
    own = settings.DATABASES["default"]["TEST"]["NAME"]
    with _alone(shared / "migrated.lock"):
        if (shared / "migrated").exists():
            return make(**{**given, "keepdb": True})
        made = make(**given)
        connection.close()
        with connection.creation._nodb_cursor() as server:
            quoted = connection.ops.quote_name
            for number in range(WORKERS):
                other = f"{own.removesuffix(WORKER)}gw{number}"
                if other != own:
                    server.execute(f"DROP DATABASE IF EXISTS {quoted(other)}")
                    server.execute(
                        f"CREATE DATABASE {quoted(other)} TEMPLATE {quoted(own)}"
                    )
        (shared / "migrated").touch()
        return made

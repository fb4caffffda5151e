"""Workers, the schedule, the broker and the web are killed while letters go out.

Needs PostgreSQL, `redis-server` (one of its own, on a free port) and REDIS_URL as the
sign that a broker is wanted. GAUGEROD_KILLS names how many letters: 24 by default, 300
in `make deep`.
"""

from __future__ import annotations

import os
import random
import shutil
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.db import connection

from jobs import services
from jobs.services import DraftEntry
from materials.models import Outgoing
from tests.service.jobs.booked import a_job, ada, new_key
from tests.smtp_sink import Sink, sink
from tests.source_files import ROOT

pytestmark = pytest.mark.django_db(transaction=True)

LETTERS = int(os.environ.get("GAUGEROD_KILLS", "24"))
PAPERS = 3
HANDS = {"worker": 2}
"""How many letters one kill can interrupt, where that is not one."""
AT = datetime(2026, 6, 1, 15, 0, tzinfo=UTC)


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@dataclass
class House:
    """The processes of one server, each started again after it is killed."""

    commands: dict[str, list[str]]
    environment: dict[str, str]
    place: Path
    running: dict[str, subprocess.Popen[bytes]] = field(default_factory=dict)
    killed: dict[str, int] = field(default_factory=dict)

    def start(self, name: str) -> None:
        with (self.place / f"{name}.log").open("ab") as log:
            self.running[name] = subprocess.Popen(
                self.commands[name],
                cwd=ROOT,
                env=self.environment,
                stdin=subprocess.DEVNULL,
                stdout=log,
                stderr=log,
                start_new_session=True,
            )

    def kill(self, name: str) -> None:
        """Kill a process with all that it started, as a machine would."""
        process = self.running[name]
        if process.poll() is None:
            os.killpg(process.pid, signal.SIGKILL)
            process.wait()
            self.killed[name] = self.killed.get(name, 0) + 1

    def kill_a_child(self, name: str) -> None:
        """Kill one process of a worker's pool, and leave the worker."""
        found = subprocess.run(
            ["pgrep", "-P", str(self.running[name].pid)],
            capture_output=True,
            text=True,
            check=False,
        ).stdout.split()
        if found:
            os.kill(int(random.choice(found)), signal.SIGKILL)
            self.killed["child"] = self.killed.get("child", 0) + 1

    def stop(self) -> None:
        for name in self.running:
            self.kill(name)


def celery(*words: str) -> list[str]:
    return [sys.executable, "-m", "celery", "-A", "gaugerod", *words, "-l", "warning"]


@pytest.fixture
def post() -> Iterator[Sink]:
    with sink(slowly=True) as server:
        yield server


@pytest.fixture
def house(tmp_path: Path, post: Sink, settings: Any) -> Iterator[House]:
    """Stand up Redis, a worker with two hands, the schedule and a web stand-in."""
    if connection.vendor != "postgresql":
        pytest.skip("PostgreSQL is wanted: several processes write at once")
    if not settings.REDIS_URL or shutil.which("redis-server") is None:
        pytest.skip("Redis is wanted: REDIS_URL and a redis-server to start")
    settings.MEDIA_ROOT = tmp_path / "media-demo"
    where, redis = connection.settings_dict, free_port()
    user = where["USER"] + (f":{where['PASSWORD']}" if where["PASSWORD"] else "")
    database = f"postgres://{user}@{where['HOST']}:{where['PORT'] or 5432}"
    made = House(
        commands={
            "redis": ["redis-server", "--port", str(redis), "--bind", "127.0.0.1",
                      "--save", "", "--appendonly", "no", "--dir", str(tmp_path)],
            "worker": celery("worker", "-c", "2", "--without-gossip",
                             "--without-mingle"),
            "schedule": celery("beat"),
        },
        environment={
            **os.environ,
            "DATABASE_URL": f"{database}/{where['NAME']}",
            "REDIS_URL": f"redis://127.0.0.1:{redis}/0",
            "GAUGEROD_VAR": str(tmp_path),
            "GAUGEROD_BUSINESS": "demo",
            "GAUGEROD_SMTP_HOST": "127.0.0.1",
            "GAUGEROD_SMTP_PORT": str(post.port),
            "GAUGEROD_SMTP_SECURITY": "none",
            "GAUGEROD_OUTBOX_LEASE": "6",
            "GAUGEROD_OUTBOX_SWEEP": "2",
        },
        place=tmp_path,
    )  # fmt: skip
    yield made
    made.stop()


def papers() -> list[str]:
    """Issue invoices whose papers nobody has made yet."""
    found = []
    for place in range(PAPERS):
        draft = services.draft_invoice(
            job=a_job(f"Q-03{place:02d}"),
            entry=DraftEntry(kind="final"),
            person=ada(),
            key=new_key(),
        )
        row = services.issue_invoice(invoice=draft, person=ada(), at=AT, key=new_key())
        found.append(f"invoice:{row.pk}")
    return found


def wait_until(holds: Callable[[], bool]) -> None:
    """Wait until somebody is at work."""
    ends = time.monotonic() + 60
    while not holds() and time.monotonic() < ends:
        time.sleep(0.02)


def owed() -> int:
    rows = Outgoing.objects.filter(kind="mail", state__in=("waiting", "working"))
    return rows.count()


def test_no_letter_is_lost_and_repeats_are_no_more_than_kills(
    house: House, post: Sink, tmp_path: Path
) -> None:
    told = tmp_path / "told"
    house.commands["web"] = [sys.executable, "-m", "tests.outbox_owing", str(LETTERS),
                             str(told), *papers()]  # fmt: skip
    for name in house.commands:
        house.start(name)
    wait_until(told.exists)
    _strike(house, "web")
    wait_until(lambda: bool(post.letters))
    victims = ["web", "child", "worker", "redis", "schedule", "child"]
    kills, ends = max(6, LETTERS // 12), time.monotonic() + 60 + 2 * LETTERS
    place = 0
    while time.monotonic() < ends:
        if house.running["web"].poll() == 0 and place >= kills and not owed():
            break
        time.sleep(random.uniform(0.4, 1.6))
        if place < kills:
            _strike(house, victims[place % len(victims)])
            place += 1

    rows = list(Outgoing.objects.filter(kind="mail"))
    arrived = [str(letter["Message-ID"]) for letter in post.letters]
    missing = [row for row in rows if not any(str(row.uid) in one for one in arrived)]
    repeats = len(arrived) - len(set(arrived))
    hands = sum(HANDS.get(name, 1) * number for name, number in house.killed.items())
    states = {row.state for row in rows}
    found = (
        f"{LETTERS} letters; killed {house.killed}; {len(arrived)} arrived, "
        f"{len(missing)} lost, {repeats} repeated, {states}"
    )
    (Path(settings.VAR_DIR) / "kills.txt").write_text(found, encoding="utf-8")
    assert sorted(row.subject for row in rows) == [
        f"letter-{place:04d}" for place in range(LETTERS)
    ], "promised once each, whoever was killed"
    assert missing == []
    assert states <= {"done", "unknown"}
    assert repeats <= hands, "at most the letters that were held when somebody died"
    assert len(told.read_text().split()) >= LETTERS


def _strike(house: House, victim: str) -> None:
    """Kill one, and start it again; a pool replaces its children by itself."""
    if victim == "child":
        house.kill_a_child("worker")
        return
    house.kill(victim)
    if victim != "web" or house.running[victim].returncode != 0:
        house.start(victim)


def test_the_settings_of_the_queue_are_those_measured() -> None:
    if not settings.REDIS_URL:
        pytest.skip("Redis is wanted: REDIS_URL")
    assert settings.CELERY_TASK_ACKS_LATE
    assert settings.CELERY_TASK_REJECT_ON_WORKER_LOST
    visible = settings.CELERY_BROKER_TRANSPORT_OPTIONS["visibility_timeout"]
    assert settings.CELERY_TASK_TIME_LIMIT < settings.OUTBOX_LEASE < visible

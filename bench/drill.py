"""A restore drill: from a business in use to the same business on an empty machine.

`python -m bench.drill` does it with the demo and with 200 jobs more, on SQLite and on
PostgreSQL where one answers, and prints what each step took. The second machine has an
empty folder, so another signing key, and no database at all. There the books must hold,
the owner signs in with the old password and reads a page and a kept paper, a private
link that was handed over still opens, and the letter that was not sent waits for a
person. `--smoke` does the demo on SQLite. The page that a person follows by hand is
"Keeping it safe" in README.md.
"""

from __future__ import annotations

import json
import os
import socket
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
POSTGRES = "postgres://postgres@127.0.0.1:5432"
NAMES = ("gaugerod_drill_old", "gaugerod_drill_new")
JOBS = (0, 200)
PASSWORD = "a-drill-on-a-dry-floor"  # noqa: S105 - of an invented business
BEGUN = """
import django; django.setup()
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from materials.models import Person
from materials.services import outbox
from quotes.models import Revision
from quotes.services import make_link
outbox._ring = lambda pk: None
person = Person.objects.get(username="owner")
offer = Revision.objects.select_related("quote").filter(
    state__in=("offered", "accepted")).order_by("pk")[0]
from materials.services import Letter, new_seed
from quotes.services import mail_quote
letter = Letter(recipient="client@example.org", subject="Your quote",
    body="See " + outbox.TOKEN_MARK, paper="", about=offer.quote.number,
    title="Quote", page="/", seed=new_seed())
mail_quote(revision=offer, letter=letter, person=person, at=timezone.now(),
    key="drill-letter-0123456789")
_link, token = make_link(revision=offer, at=timezone.now(), person=person,
    key="drill-link-0123456789")
print(token)
"""
SIGNED_IN = """
import django; django.setup()
import json, sys
from django.test import Client
from django.urls import reverse
from jobs.models import Invoice
from materials.models import Outgoing
browser = Client(HTTP_HOST="127.0.0.1")
typed = {"username": "owner", "password": sys.argv[1]}
said = {"sign-in": browser.post(reverse("sign-in"), typed).status_code}
said["today"] = browser.get("/").status_code
bill = Invoice.objects.exclude(pdf=None).order_by("pk").first()
if bill is not None:
    said["paper"] = browser.get(reverse("invoice-paper", args=[bill.uid])).status_code
said["outbox"] = browser.get(reverse("outbox")).status_code
stranger = Client(HTTP_HOST="127.0.0.1")
said["link"] = stranger.get(reverse("offer", args=[sys.argv[2]])).status_code
row = Outgoing.objects.filter(kind="mail").latest("pk")
said["letter"] = row.state
print(json.dumps(said))
"""
WANTED = {"sign-in": 302, "today": 200, "paper": 200, "outbox": 200, "link": 200,
          "letter": "failed"}  # fmt: skip


class Machine:
    """A folder and a database; everything is done by processes of their own."""

    def __init__(self, folder: Path, database: str) -> None:
        folder.mkdir(parents=True)
        self.env = {
            **os.environ,
            "DJANGO_SETTINGS_MODULE": "gaugerod.settings",
            "GAUGEROD_VAR": str(folder),
            "GAUGEROD_BUSINESS": "demo",
            "DATABASE_URL": database,
        }
        for name in ("REDIS_URL", "GAUGEROD_SECRET_KEY", "GAUGEROD_SECRET_KEY_FILE"):
            self.env.pop(name, None)

    def run(self, *arguments: str) -> tuple[float, str]:
        """Run this Python with arguments; return seconds and what it said."""
        start = time.perf_counter()
        done = subprocess.run(  # noqa: S603 - our own program
            [sys.executable, *arguments],
            cwd=ROOT,
            env=self.env,
            capture_output=True,
            text=True,
            check=False,
        )
        if done.returncode:
            raise SystemExit(f"{arguments[:2]} failed:\n{done.stdout}{done.stderr}")
        return time.perf_counter() - start, done.stdout

    def manage(self, *arguments: str) -> tuple[float, str]:
        """Run a command of the program."""
        return self.run("manage.py", *arguments)


def drill(folder: Path, databases: tuple[str, str], jobs: int) -> dict[str, float]:
    """Return seconds of each step; stop where one does not do what it must."""
    old = Machine(folder / "old", databases[0])
    old.manage("migrate", "--verbosity=0")
    old.manage("open_demo", f"--password={PASSWORD}")
    if jobs:
        old.manage("fill_demo", f"--jobs={jobs}")
    token = old.run("-c", BEGUN)[1].split()[-1]
    out = folder / "one.backup"
    took = {"backup": old.manage("backup", str(out))[0]}
    new = Machine(folder / "new", databases[1])
    took["restore"], said = new.manage("restore", str(out))
    if "were not sent yet: 1." not in said:
        raise SystemExit(f"The restore does not tell of the unsent letter:\n{said}")
    took["verify"], said = new.manage("verify_books")
    took["sign in and read"], said = new.run("-c", SIGNED_IN, PASSWORD, token)
    found = json.loads(said.splitlines()[-1])
    wrong = {name: got for name, got in found.items() if got != WANTED[name]}
    if wrong:
        raise SystemExit(f"On the new machine: {wrong}")
    took["MB"] = out.stat().st_size / 1e6
    return took


def drop() -> None:
    """Drop the databases of a drill, and what a restore kept of them."""
    import psycopg
    from psycopg import sql

    address = f"{POSTGRES.replace('postgres:', 'postgresql:', 1)}/postgres"
    with psycopg.connect(address, autocommit=True) as server:
        rows = server.execute("SELECT datname FROM pg_database").fetchall()
        for (one,) in rows:
            if one.startswith(NAMES):
                server.execute(
                    sql.SQL("DROP DATABASE {} WITH (FORCE)").format(sql.Identifier(one))
                )


def on_postgresql(folder: Path, jobs: int) -> dict[str, float]:
    """Do the drill there; the second database is not made before the restore."""
    import psycopg

    drop()
    address = f"{POSTGRES.replace('postgres:', 'postgresql:', 1)}/postgres"
    with psycopg.connect(address, autocommit=True) as server:
        server.execute(f"CREATE DATABASE {NAMES[0]}")
    try:
        old, new = (f"{POSTGRES}/{name}" for name in NAMES)
        return drill(folder, (old, new), jobs)
    finally:
        drop()


def answers() -> bool:
    """Return whether PostgreSQL answers at its standard port."""
    with socket.socket() as probe:
        probe.settimeout(1)
        return probe.connect_ex(("127.0.0.1", 5432)) == 0


def told(where: str, jobs: int, took: dict[str, float]) -> None:
    """Print one drill as a line."""
    steps = ", ".join(
        f"{name} {value:.1f} s" for name, value in took.items() if name != "MB"
    )
    print(f"{where}, demo and {jobs} jobs, {took['MB']:.1f} MB: {steps}", flush=True)


def main() -> int:
    """Do the drills that were asked for."""
    smoke = "--smoke" in sys.argv
    for jobs in JOBS[:1] if smoke else JOBS:
        with tempfile.TemporaryDirectory(prefix="gaugerod-drill-") as name:
            folder = Path(name)
            files = tuple(
                f"sqlite:///{folder / one}/a.sqlite3" for one in ("old", "new")
            )
            told("SQLite", jobs, drill(folder, (files[0], files[1]), jobs))
        if not smoke and answers():
            with tempfile.TemporaryDirectory(prefix="gaugerod-drill-") as name:
                told("PostgreSQL", jobs, on_postgresql(Path(name), jobs))
    return 0


if __name__ == "__main__":
    raise SystemExit(main())

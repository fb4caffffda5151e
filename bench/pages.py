"""What a page costs beside a bare Django page, in a small and in a full business.

`python -m bench.pages` fills businesses of 200 and 20,000 jobs, on SQLite and on
PostgreSQL where one answers, and asks each page in turn with the bare one, in one
process. The bare page shows twenty rows of one query by a template of one line, behind
the same middleware (the business, the session and the person are read there); a list
page shows as many rows within the whole frame of a page. Figures are medians of CPU
time, so that a busy machine spoils them less. What PostgreSQL computes is done by
another process, so the table also says how long each page waits for its database.
`--smoke` fills 10 and 60 jobs on SQLite. Floor: no list page above 4 times the bare
page, no page at all above 1.5 times its own cost in the small business; goal: 3 times
and 1.3 times. Queries must not grow at all. The page of one job, invoice, quote or
visit shows all of it, whatever the bare page costs, so its cost is told, not judged.
"""

from __future__ import annotations

import json
import os
import socket
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent
POSTGRES = "postgres://postgres@127.0.0.1:5432"
FLOOR, GROWTH = 4.0, 1.5
GOAL, GOAL_GROWTH = 3.0, 1.3
ROUNDS, WAITS = 25, 5
FAR = {"jobs, last page": "page=9999", "jobs, closed": "state=closed",
       "invoices, open": "state=open"}  # fmt: skip
LISTS = ("today", "jobs", *FAR, "clients", "quotes", "visits", "invoices",
         "price-list", "suppliers", "people", "outbox")  # fmt: skip
MIDDLE = ("jobs, middle", "invoices, middle", "quotes, middle", "visits, middle")
LISTS += MIDDLE
"""The list pages; `job`, `job-cost`, `invoice`, `quote` and `visit` are one thing's."""


def addresses() -> dict[str, str]:
    """Return the pages that are measured: each list, and one of each thing."""
    from django.urls import reverse

    from jobs.models import Invoice, Job

    job = Job.objects.select_related("revision__quote__visit").order_by("-pk")[0]
    bill = Invoice.objects.filter(job=job)[0]
    middle = Job.objects.count() // 40
    return {
        **{name: reverse(name) for name in LISTS if "," not in name},
        **{name: f"{reverse(name.split(',')[0])}?{FAR[name]}" for name in FAR},
        **{name: f"{reverse(name.split(',')[0])}?page={middle}" for name in MIDDLE},
        "job": reverse("job", args=[job.number]),
        "job-cost": reverse("job-cost", args=[job.number]),
        "job-invoices": reverse("job-invoices", args=[job.number]),
        "invoice": reverse("invoice", args=[bill.uid]),
        "quote": reverse("quote", args=[job.revision.quote.number]),
        "visit": reverse("visit", args=[job.revision.quote.visit.uid]),
    }


def measure() -> dict[str, Any]:
    """Return CPU milliseconds and queries of each page in the configured business."""
    from django.db import connection
    from django.test import Client
    from django.test.utils import CaptureQueriesContext

    from materials.models import Person

    client = Client(HTTP_HOST="127.0.0.1")
    client.force_login(Person.objects.filter(role="owner").order_by("pk")[0])
    pages = {"bare": "/bare/", **addresses()}
    queries, times = {}, {name: [] for name in pages}  # type: ignore[var-annotated]
    for name, address in pages.items():
        client.get(address)
        with CaptureQueriesContext(
            connection,
        ) as seen:
            status = client.get(address).status_code
        if status != 200:
            raise SystemExit(f"{name} answered {status}.")
        queries[name] = len(seen)
    for _ in range(ROUNDS):
        for name, address in pages.items():
            start = time.process_time()
            client.get(address)
            times[name].append(time.process_time() - start)
    waits = {name: waited(client, address) for name, address in pages.items()}
    return {
        name: {
            "ms": round(statistics.median(times[name]) * 1000, 3),
            "waits_ms": round(waits[name] * 1000, 3),
            "queries": queries[name],
        }
        for name in pages
    }


def waited(client: Any, address: str) -> float:
    """Return the seconds a page waits for its database, the median of some rounds."""
    from django.db import connection

    found = []
    for _ in range(WAITS):
        spent: list[float] = []

        def timed(execute: Any, *asked: Any, spent: list[float] = spent) -> Any:
            start = time.perf_counter()
            try:
                return execute(*asked)
            finally:
                spent.append(time.perf_counter() - start)

        with connection.execute_wrapper(timed):
            client.get(address)
        found.append(sum(spent))
    return statistics.median(found)


def child(database: str, jobs: int, var: str) -> dict[str, Any]:
    """Fill a business in a process of its own and return what its pages cost."""
    environment = {
        **os.environ,
        "DATABASE_URL": database,
        "GAUGEROD_VAR": var,
        "DJANGO_SETTINGS_MODULE": "gaugerod.settings",
    }
    environment.pop("REDIS_URL", None)
    done = subprocess.run(  # noqa: S603 - our own program
        [sys.executable, "-m", "bench.pages", "--child", str(jobs)],
        cwd=ROOT,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        raise SystemExit(f"{database}, {jobs} jobs:\n{done.stdout}{done.stderr}")
    found: dict[str, Any] = json.loads(done.stdout.splitlines()[-1])
    return found


def run_child(jobs: int) -> None:
    """Fill the configured business if it is not yet, measure, print JSON."""
    import django
    from django.conf import settings

    django.setup()
    settings.ROOT_URLCONF = "bench.bare_urls"
    from django.core.management import call_command

    from jobs.models import Job

    call_command("migrate", verbosity=0)
    missing = jobs - Job.objects.count()
    if missing > 0:
        call_command("fill_demo", jobs=missing)
    print(json.dumps(measure()))


def judged(small: dict[str, Any], full: dict[str, Any]) -> list[dict[str, Any]]:
    """Return each page's cost beside the bare page, and how it grew."""
    rows = []
    for name in full:
        if name == "bare":
            continue
        times = full[name]["ms"] / full["bare"]["ms"]
        before = small[name]["ms"] / small["bare"]["ms"]
        rows.append(
            {
                "page": name,
                "ms": full[name]["ms"],
                "queries": full[name]["queries"],
                "more_queries": full[name]["queries"] - small[name]["queries"],
                "waits_ms": full[name]["waits_ms"],
                "times_small": round(before, 2),
                "times": round(times, 2),
                "growth": round(times / before, 2),
                "is_list": name in LISTS,
            }
        )
    return rows


def worst(row: dict[str, Any]) -> float:
    """Return what a page costs beside the bare one at the size where it costs more."""
    return max(float(row["times"]), float(row["times_small"]))


def engines(folder: str, *, smoke: bool) -> dict[str, str]:
    """Return the databases to measure on, by name; `{jobs}` is put in."""
    found = {"sqlite": f"sqlite:///{folder}/{{jobs}}.sqlite3"}
    with socket.socket() as probe:
        probe.settimeout(1)
        if not smoke and probe.connect_ex(("127.0.0.1", 5432)) == 0:
            found["postgresql"] = f"{POSTGRES}/gaugerod_bench_{{jobs}}"
    return found


def make_empty(url: str) -> None:
    """Make a PostgreSQL database anew."""
    import psycopg

    name = url.rsplit("/", 1)[1]
    with psycopg.connect(f"{POSTGRES}/postgres", autocommit=True) as server:
        server.execute(f"DROP DATABASE IF EXISTS {name} WITH (FORCE)".encode())
        server.execute(f"CREATE DATABASE {name}".encode())


def main() -> int:
    """Print a table, then one JSON object; 1 if a floor is broken."""
    if "--child" in sys.argv:
        run_child(int(sys.argv[sys.argv.index("--child") + 1]))
        return 0
    smoke = "--smoke" in sys.argv
    sizes = (10, 60) if smoke else (200, 20_000)
    result: dict[str, Any] = {}
    held, reached = True, True
    with tempfile.TemporaryDirectory(prefix="gaugerod-pages-") as folder:
        for engine, pattern in engines(folder, smoke=smoke).items():
            costs = []
            for jobs in sizes:
                url = pattern.format(jobs=jobs)
                if engine == "postgresql":
                    make_empty(url)
                costs.append(child(url, jobs, f"{folder}/{engine}-{jobs}"))
            rows = judged(*costs)
            bare = costs[1]["bare"]
            print(f"{engine}, {sizes[1]:,} jobs; bare page {bare['ms']} ms")
            for row in rows:
                print(
                    f"  {row['page']:16} {row['ms']:8.2f} ms, waits"
                    f" {row['waits_ms']:7.2f} ms, {row['queries']:2} queries"
                    f" {row['more_queries']:+}  x {row['times_small']:5.2f} of bare at"
                    f" {sizes[0]} jobs, {row['times']:5.2f} at {sizes[1]:,}:"
                    f" x {row['growth']:.2f}"
                )
            lists = [row for row in rows if row["is_list"]]
            held &= all(not row["more_queries"] for row in rows)
            held &= (
                all(worst(row) <= FLOOR for row in lists)
                and all(row["growth"] <= GROWTH for row in rows)
            ) or smoke
            reached &= all(worst(row) <= GOAL for row in lists)
            reached &= all(row["growth"] <= GOAL_GROWTH for row in rows)
            result[engine] = {"bare_ms": bare["ms"], "pages": rows}
    floors = {"times": [FLOOR, GOAL], "growth": [GROWTH, GOAL_GROWTH]}
    print(json.dumps({"sizes": sizes, "floors": floors, "passed": held,
                      "goal": reached, **result}))  # fmt: skip
    return 0 if held else 1


if __name__ == "__main__":
    sys.exit(main())

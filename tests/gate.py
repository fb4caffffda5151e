"""The one gate, the same for everybody and CI: each part with its time and tests.

`python -m tests.gate quick`: format, lint, contracts, types, unit, published.
`python -m tests.gate full`: all of that, Django's checks, migrations, properties,
services on SQLite and on PostgreSQL with Redis, browser, bench smoke.
`python -m tests.gate deep`: the properties with large numbers, and the benchmarks.
"""

from __future__ import annotations

import os
import re
import shutil
import socket
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass, field
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
BIN = Path(sys.executable).parent
POSTGRES = "postgres://postgres@127.0.0.1:5432/postgres"
REDIS = "redis://127.0.0.1:6379/5"
UNIT = ["tests/unit", "tests/published", "tests/architecture"]
TYPED = [
    "tests/unit/materials/core/test_length_reader.py",
    "tests/unit/materials/core/test_lengths.py",
    "tests/unit/materials/core/test_quantities.py",
]
"""Where a rare text matters, and cases are many."""
FEW = {"GAUGEROD_CASES": os.environ.get("GAUGEROD_CASES", "500")}
"""Cases of everything else."""
ROOMS = "tests/unit/quotes/core/layout/test_rooms.py"
"""Random rooms counted twice, 10,000 of them; few in the quick gate."""
UNTYPED = ["tests/unit", *(f"--deselect={one}" for one in (*TYPED, ROOMS))]
ON_ANY_DATABASE = ("-m", "django_db")
"""Without this mark a test cannot reach the database: one run of it says all."""
BENCHES = ("layout", "order", "first_guess", "cutting", "pages")
SMOKE = {"order": ("--rooms", "20", "--seeds", "1")}
"""What makes a benchmark short, where that is not `--smoke`."""


@dataclass(kw_only=True)
class Part:
    """One part: a command, the environment it needs, why it is skipped if it is."""

    name: str
    command: list[str]
    env: dict[str, str] = field(default_factory=dict)
    skip: str = ""


def tool(name: str, *arguments: str) -> list[str]:
    """Return the command of a tool of this environment."""
    return [str(BIN / name), *arguments]


def pytest(*arguments: str) -> list[str]:
    """Return a pytest command, quiet but for failures and skips."""
    return tool("pytest", "-q", "-rs", "--no-header", *arguments)


def answers(port: int) -> bool:
    """Return whether something listens on a local port."""
    with socket.socket() as probe:
        probe.settimeout(1)
        return probe.connect_ex(("127.0.0.1", port)) == 0


def quick_parts() -> list[Part]:
    """Return the parts that run before every commit."""
    return [
        Part(name="fonts", command=[sys.executable, "manage.py", "prepare_fonts"]),
        Part(name="words", command=[sys.executable, "-m", "gaugerod.words"]),
        Part(name="format", command=tool("ruff", "format", "--check", "--quiet", ".")),
        Part(name="lint", command=tool("ruff", "check", "--quiet", ".")),
        Part(name="contracts", command=tool("lint-imports")),
        Part(name="types", command=tool("mypy", *sources())),
        Part(
            name="unit",
            command=pytest("-n", "2", *UNIT, "--doctest-modules"),
            env=FEW,
        ),
    ]


def sources() -> list[str]:
    """Return the packages whose types are checked."""
    return ["materials", "quotes", "jobs", "gaugerod", "bench", "tests/gate.py"]


def service(database: str, *, broker: bool) -> dict[str, str]:
    """Return the environment of a service run on one database."""
    return {"DATABASE_URL": database, **({"REDIS_URL": REDIS} if broker else {})}


def full_parts(scratch: Path) -> list[Part]:
    """Return every part of the gate."""
    missing = [
        word
        for word, port in (("PostgreSQL", 5432), ("Redis", 6379))
        if not answers(port)
    ]
    absent = f"{' and '.join(missing)} not at the standard local port" * bool(missing)
    browser = "" if shutil.which("chromium") else "no chromium: apt install chromium"
    sqlite = f"sqlite:///{scratch / 'gate.sqlite3'}"
    manage = [sys.executable, "manage.py"]
    return [
        *quick_parts(),
        Part(
            name="django checks",
            command=[*manage, "check", "--fail-level", "WARNING"],
        ),
        Part(
            name="migrations",
            command=[*manage, "makemigrations", "--check", "--dry-run"],
        ),
        Part(
            name="properties, what people type",
            command=pytest("-n", "2", *TYPED, "-m", "cases"),
            env={"GAUGEROD_CASES": os.environ.get("GAUGEROD_CASES", "20000")},
        ),
        Part(
            name="properties, arithmetic and layout",
            command=pytest("-n", "2", *UNTYPED, "-m", "cases"),
            env={"GAUGEROD_CASES": FEW["GAUGEROD_CASES"]},
        ),
        Part(
            name="layout, random rooms",
            command=pytest("-n", "2", ROOMS),
            env={"GAUGEROD_ROOMS": os.environ.get("GAUGEROD_ROOMS", "10000")},
        ),
        Part(
            name="services on SQLite",
            command=pytest("-n", "2", "tests/service"),
            env=service(sqlite, broker=False),
        ),
        Part(
            name="services on PostgreSQL and Redis",
            command=pytest("-n", "2", "tests/service", *ON_ANY_DATABASE),
            env=service(POSTGRES, broker=True),
            skip=absent,
        ),
        Part(
            name="browser",
            command=pytest("tests/browser", "--browser", "chromium"),
            env=service(sqlite, broker=False),
            skip=browser,
        ),
        *bench_parts(smoke=True),
    ]


def bench_parts(*, smoke: bool) -> list[Part]:
    """Return a part for each benchmark that exists: short, or whole."""
    return [
        Part(
            name=f"bench {name}",
            command=[
                sys.executable,
                "-m",
                f"bench.{name}",
                *(SMOKE.get(name, ("--smoke",)) if smoke else ()),
            ],
        )
        for name in BENCHES
        if (ROOT / "bench" / f"{name}.py").exists()
    ]


def fresh_seed() -> str:
    """Return a seed nobody has seen, printed so that a failure can be seen again."""
    seed = str(time.time_ns())
    print(f"GAUGEROD_SEED={seed}", flush=True)
    return seed


def deep_parts() -> list[Part]:
    """Return the parts with large numbers, for hours."""
    return [
        Part(
            name="properties, 100,000 cases",
            command=pytest(
                "-n", "2", "tests/unit", f"--deselect={ROOMS}", "-m", "cases"
            ),
            env={"GAUGEROD_CASES": "100000"},
        ),
        Part(
            name="layout, 100,000 random rooms",
            command=pytest("-n", "2", ROOMS),
            env={
                "GAUGEROD_ROOMS": "100000",
                "GAUGEROD_SEED": os.environ.get("GAUGEROD_SEED", fresh_seed()),
            },
        ),
        Part(
            name="books, 1,000 changes",
            command=pytest("tests/service/jobs/test_books.py"),
            env={"GAUGEROD_CHANGES": "1000", "GAUGEROD_SEED": fresh_seed()},
        ),
        Part(
            name="every earlier schema, every kill",
            command=pytest(
                "tests/service/jobs/test_earlier_backups.py",
                "tests/service/jobs/test_killed_upgrades.py",
            ),
            env={"GAUGEROD_SCHEMAS": "all", "GAUGEROD_KILLS_OF_UPGRADES": "1000"},
        ),
        Part(
            name="restore drill",
            command=[sys.executable, "-m", "bench.drill"],
        ),
        Part(
            name="sign-in, 10,000 refusals timed",
            command=pytest("tests/service/attacks/test_sign_in_timing.py"),
            env={"GAUGEROD_SIGN_INS": "10000", "GAUGEROD_SEED": fresh_seed()},
        ),
        Part(
            name="300 letters while all is killed",
            command=pytest("tests/service/gaugerod/test_kills.py"),
            env={**service(POSTGRES, broker=True), "GAUGEROD_KILLS": "300"},
        ),
        *bench_parts(smoke=False),
    ]


def counted(output: str) -> str:
    """Return what the runner's closing line says of its tests."""
    lines = re.findall(r"^.*\b\d+ passed\b.*$", output, re.MULTILINE)
    return re.sub(r"[= ]*(.*?) in [0-9.].*", r"\1", lines[-1]) if lines else ""


def run(part: Part, *, scratch: Path) -> tuple[bool, str]:
    """Run one part; print its line; return whether it held and what it counted."""
    if part.skip:
        print(f"{part.name:34} skipped: {part.skip}", flush=True)
        return os.environ.get("CI", "").lower() != "true", ""
    environment = {**os.environ, "GAUGEROD_VAR": str(scratch), **part.env}
    environment.pop("GAUGEROD_BUSINESS", None)
    # Tests start some hundred programs; each would compile all modules anew.
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    start = time.monotonic()
    done = subprocess.run(
        part.command,
        cwd=ROOT,
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        check=False,
    )
    took = time.monotonic() - start
    count = counted(done.stdout)
    verdict = "ok" if done.returncode == 0 else "FAILED"
    print(f"{part.name:34} {took:7.1f} s  {verdict}  {count}", flush=True)
    if done.returncode:
        print(done.stdout[-20_000:], flush=True)
    for line in done.stdout.splitlines():
        if line.startswith("SKIPPED"):
            print(f"    {line}", flush=True)
    return done.returncode == 0, count


def main() -> int:
    """Run the parts of the asked gate and close with the sum of tests."""
    wanted = sys.argv[1] if len(sys.argv) > 1 else "quick"
    os.chdir(ROOT)
    with tempfile.TemporaryDirectory(prefix="gaugerod-gate-") as name:
        scratch = Path(name)
        parts = {
            "quick": quick_parts,
            "full": lambda: full_parts(scratch),
            "deep": deep_parts,
        }[wanted]()
        start = time.monotonic()
        results = [run(part, scratch=scratch) for part in parts]
    held = [ok for ok, _count in results]
    tests = sum(
        int(number)
        for _ok, count in results
        for number in re.findall(r"(\d+) passed", count)
    )
    print(
        f"{time.monotonic() - start:.0f} s, {sum(held)} of {len(held)} parts hold",
        flush=True,
    )
    print(f"{tests} passed, {len(held) - sum(held)} failed", flush=True)
    return 0 if all(held) else 1


if __name__ == "__main__":
    sys.exit(main())

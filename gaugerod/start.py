"""What `make run` does after the packages are there: open a business and serve it.

Two businesses can stand side by side, each with a database and a media folder of its
own: "demo", with invented clients and jobs, and "own", empty but for a starter price
list. Run again, nothing is changed and the same address and sign-in are printed.
"""

from __future__ import annotations

import os
import secrets
import socket
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
FIRST_PORT = 8000
PORTS = 50


def free_port() -> int:
    """Return the first port from 8000 on that nobody holds."""
    for port in range(FIRST_PORT, FIRST_PORT + PORTS):
        with socket.socket() as probe:
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                probe.bind(("127.0.0.1", port))
            except OSError:
                continue
            return port
    sys.exit(f"Ports {FIRST_PORT} to {FIRST_PORT + PORTS - 1} are all taken.")


def password_of(place: Path) -> str:
    """Return the sign-in's password, made once and kept for the owner only."""
    if not place.exists():
        place.touch(mode=0o600)
        place.write_text(f"{secrets.token_urlsafe(15)}\n", encoding="utf-8")
    return place.read_text(encoding="utf-8").strip()


def open_business(name: str, password: str) -> None:
    """Bring the database up to date and make sure that the business is there."""
    import django

    django.setup()
    from django.core.management import call_command

    from gaugerod.words import compile_catalogues

    compile_catalogues()
    call_command("prepare_fonts", verbosity=0)
    call_command("migrate", verbosity=0, interactive=False)
    if name == "demo":
        call_command("open_demo", password=password)
    else:
        call_command("open_own", password=password)


def keep_sending() -> None:
    """Look once a minute after what the outbox owes; ends with what it serves."""
    subprocess.Popen(
        [sys.executable, "manage.py", "drain_outbox", "--every", "60"],
        stdin=subprocess.DEVNULL,
    )


def main() -> None:
    """Open the business named on the command line and serve it on 127.0.0.1."""
    name = sys.argv[1] if len(sys.argv) > 1 else "demo"
    if name not in ("demo", "own"):
        sys.exit(f"BUSINESS is “{name}”; write BUSINESS=demo or BUSINESS=own.")
    os.chdir(ROOT)
    os.environ["GAUGEROD_BUSINESS"] = name
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "gaugerod.settings")
    kept = Path(os.environ.get("GAUGEROD_VAR", str(ROOT / "var")))
    kept.mkdir(mode=0o700, parents=True, exist_ok=True)
    password = password_of(kept / f"password-{name}")
    open_business(name, password)
    port = free_port()
    if port != FIRST_PORT:
        print(f"Port {FIRST_PORT} is taken; using {port}.")
    print(f"Gaugerod, {name} business: http://127.0.0.1:{port}/")
    print(f"Sign in as owner with the password {password}", flush=True)
    keep_sending()
    os.execv(  # noqa: S606 - replaces this process, no shell
        sys.executable,
        [
            sys.executable,
            "-m",
            "gunicorn",
            "--bind",
            f"127.0.0.1:{port}",
            "--workers",
            "1",
            "--threads",
            "4",
            "--timeout",
            "120",
            "--log-level",
            "warning",
            "gaugerod.wsgi",
        ],
    )


if __name__ == "__main__":
    main()

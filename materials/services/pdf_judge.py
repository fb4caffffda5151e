"""Look through a PDF from outside in a process with limits, before it is kept."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from django.utils.translation import gettext as _

from materials.core.errors import Refusal

ROOT = Path(__file__).resolve().parents[2]
MEMORY = 600_000_000
"""Bytes of address space; a receipt of 15 MB takes about a quarter of it."""
SECONDS = 10
_KEPT = ("PATH", "LANG", "TMPDIR")
_START = """
import resource, sys
resource.setrlimit(resource.RLIMIT_AS, ({memory}, {memory}))
resource.setrlimit(resource.RLIMIT_CPU, ({seconds}, {seconds}))
resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
from materials.core.pdf_safety import unsafe_parts
print(*sorted(unsafe_parts(sys.stdin.buffer.read())))
"""


def check_pdf(data: bytes) -> None:
    """Let a plain PDF pass.

    Raises: Refusal for one that cannot be read, takes too much, is locked, or holds
    anything but pages and an invoice's own data.
    """
    try:
        done = subprocess.run(  # noqa: S603 - this program's own words
            [sys.executable, "-c", _START.format(memory=MEMORY, seconds=SECONDS)],
            input=data,
            capture_output=True,
            cwd=ROOT,
            env={name: os.environ[name] for name in _KEPT if name in os.environ},
            timeout=3 * SECONDS,
            check=False,
        )
    except subprocess.TimeoutExpired:
        raise _unreadable() from None
    if done.returncode != 0:
        raise _unreadable()
    if done.stdout.strip():
        raise Refusal(
            _(
                "This PDF holds more than pages: a program, another file, or something "
                "that hangs on behind it. Print it into a new PDF, or photograph it."
            ),
            field="photo",
        )


def _unreadable() -> Refusal:
    return Refusal(
        _("This PDF cannot be read, or only with a password; take a photo of it."),
        field="photo",
    )

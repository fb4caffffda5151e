"""Folders for work that ends with it, also where the one who worked was killed.

A folder is locked while it is worked in; the system lets go of the lock of whoever
dies, so that the next one can tell what was left over and take it away.
"""

from __future__ import annotations

import fcntl
import os
import shutil
import stat
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import IO

KINDS = ("backup", "restore", "scratch")
LOCK = ".in-use"
MOMENT = 60
"""Seconds in which a folder may still be one whose maker is about to lock it."""
HOUR = 3600
"""Seconds after which one without a lock, as made before there were locks, is old."""


@contextmanager
def scratch_folder(kind: str) -> Iterator[Path]:
    """Give a folder of ours that is gone afterwards; take left over ones away first.

    `kind` is one of `KINDS` and stands in the folder's name.
    """
    sweep()
    with tempfile.TemporaryDirectory(prefix=f"gaugerod-{kind}-") as name:
        folder = Path(name)
        with (folder / LOCK).open("w") as held:
            fcntl.flock(held, fcntl.LOCK_EX)
            yield folder


def sweep() -> None:
    """Take away the folders of this user in which nobody works any more."""
    root = Path(tempfile.gettempdir())
    for kind in KINDS:
        for folder in root.glob(f"gaugerod-{kind}-*"):
            if _is_left_over(folder):
                shutil.rmtree(folder, ignore_errors=True)


def _is_left_over(folder: Path) -> bool:
    """Return whether a folder is ours, and its maker gone. Another user's is not."""
    with suppress(OSError):
        found = folder.lstat()
        if not stat.S_ISDIR(found.st_mode) or found.st_uid != os.geteuid():
            return False
        age = time.time() - found.st_mtime
        try:
            with (folder / LOCK).open("r+") as held:
                return age > MOMENT and _lets_go(held)
        except FileNotFoundError:
            return age > HOUR
    return False


def _lets_go(held: IO[str]) -> bool:
    try:
        fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    return True

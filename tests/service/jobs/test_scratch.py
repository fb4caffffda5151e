"""What a killed backup or restore left in the temporary folder goes with the next."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

from jobs.management.scratch import HOUR, KINDS, LOCK, MOMENT, scratch_folder, sweep
from tests.source_files import ROOT

WORKS = """
import sys, time
from jobs.management.scratch import scratch_folder
with scratch_folder("restore") as folder:
    (folder / "whole.sqlite3").write_text("a business")
    print(folder, flush=True)
    time.sleep(60)
"""


@pytest.fixture(autouse=True)
def temporary(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    return tmp_path


def aged(folder: Path, by: int = HOUR) -> Path:
    """Let a folder be older by so many seconds, and one."""
    then = folder.stat().st_mtime - by - 1
    os.utime(folder, (then, then))
    return folder


def test_a_folder_is_locked_while_it_is_worked_in_and_gone_afterwards() -> None:
    with scratch_folder("backup") as folder:
        (folder / "database").write_text("rows")
        sweep()
        aged(folder)
        sweep()
        assert (folder / "database").exists()

    assert not folder.exists()


def test_what_a_killed_process_left_goes_with_the_next_and_not_before() -> None:
    with subprocess.Popen(
        [sys.executable, "-c", WORKS], cwd=ROOT, stdout=subprocess.PIPE, text=True
    ) as worker:
        assert worker.stdout is not None
        left = aged(Path(worker.stdout.readline().strip()))
        sweep()
        assert (left / "whole.sqlite3").exists()
        worker.send_signal(signal.SIGKILL)

    assert (left / "whole.sqlite3").exists()
    with scratch_folder("backup"):
        assert not left.exists()


def test_left_over_folders_from_before_locks_go_once_they_are_old(
    temporary: Path,
) -> None:
    for kind in KINDS:
        aged(Path(tempfile.mkdtemp(prefix=f"gaugerod-{kind}-")))
    young = aged(Path(tempfile.mkdtemp(prefix="gaugerod-restore-")), MOMENT)
    begun = Path(tempfile.mkdtemp(prefix="gaugerod-restore-"))
    (begun / LOCK).touch()

    sweep()

    assert set(temporary.iterdir()) == {young, begun}


def test_nothing_else_is_touched(temporary: Path) -> None:
    other = aged(Path(tempfile.mkdtemp(prefix="gaugerod-drill-")))
    elsewhere = temporary / "elsewhere"
    elsewhere.mkdir()
    (elsewhere / LOCK).touch()
    (temporary / "gaugerod-restore-link").symlink_to(elsewhere)
    (temporary / "gaugerod-restore-file").touch()

    sweep()

    assert (elsewhere / LOCK).exists()
    assert other.exists()
    assert sum(1 for _ in temporary.iterdir()) == 4

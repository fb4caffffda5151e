"""Back the business up while it is in use, and prove the backup by restoring it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from jobs.management.backups import make_backup


class Command(BaseCommand):
    help = "Write a backup of database and kept files, and verify it by restoring it."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("out", type=Path, help="the file to write")

    def handle(self, *args: Any, **options: Any) -> None:
        facts = make_backup(options["out"])
        self.stdout.write(
            f"{options['out']}: {facts['rows']:,} rows and {facts['files']:,} files, "
            f"restored aside and verified. SHA-256 {facts['sha256']}"
        )

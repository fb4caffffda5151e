"""Put a backup in place, once it was restored aside and verified."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from jobs.management.backups import restore_backup


class Command(BaseCommand):
    help = "Restore a backup; a damaged one is refused. Stop the server first."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path, help="the backup")
        parser.add_argument(
            "--replace",
            action="store_true",
            help="put it in the place of the business that stands there",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        done = restore_backup(options["file"], replace=options["replace"])
        self.stdout.write(
            f"{options['file']} is restored and its books hold. "
            f"What stood there before, if anything, is kept as {done.before}"
        )
        if done.letters:
            self.stdout.write(
                f"Letters with a private link that were not sent yet: {done.letters}. "
                "The signing key here is not the one they were written with, so their "
                "links cannot be made: they wait in the outbox, to be given up and "
                "written anew. Or put the old key (GAUGEROD_SECRET_KEY, or the file "
                "secret-key) here and restore once more."
            )

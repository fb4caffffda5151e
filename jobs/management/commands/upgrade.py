"""Bring the schema up to date behind a verified backup, or go back to it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser

from jobs.management.backups import upgrade


class Command(BaseCommand):
    help = "Back up, migrate, verify; return to the backup if that fails."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--backups",
            type=Path,
            default=Path(settings.VAR_DIR) / "backups",
            help="the folder for the backup",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        stands, said = upgrade(options["backups"])
        if not stands:
            raise CommandError(said)
        self.stdout.write(said)

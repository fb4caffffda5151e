"""Move the business from SQLite to PostgreSQL."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from jobs.management.moving import move_business


class Command(BaseCommand):
    help = "Move everything from SQLite to an empty PostgreSQL database, and verify it."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("url", help="postgres://user@host:port/name")

    def handle(self, *args: Any, **options: Any) -> None:
        counts = move_business(options["url"])
        self.stdout.write(
            f"{sum(counts.values()):,} rows of {len(counts)} tables moved, verified. "
            "Set DATABASE_URL to that address; keep the SQLite file until you are sure."
        )

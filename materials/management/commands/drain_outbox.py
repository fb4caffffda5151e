"""Make the papers and send the letters that the outbox owes.

Without a broker this is the schedule: from a timer, or kept running with `--every`.
With one it may be run as well; nothing is done twice.
"""

from __future__ import annotations

import os
import time
from argparse import ArgumentParser
from datetime import UTC, datetime
from typing import Any

from django.core.management.base import BaseCommand
from django.db import OperationalError, close_old_connections

from materials import queries
from materials.models import Outgoing
from materials.tasks import sweep


class Command(BaseCommand):
    help = "Make the papers and send the letters that the outbox owes."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--every",
            type=int,
            metavar="SECONDS",
            help="go on until stopped, or until whoever started this is gone",
        )

    def handle(self, *_args: Any, **options: Any) -> None:
        every: int | None = options["every"]
        if every is None:
            self._once()
            return
        parent = os.getppid()
        while os.getppid() == parent:
            close_old_connections()
            try:
                self._once(quiet=True)
            except OperationalError as error:
                self.stderr.write(f"The database is away: {error}")
            time.sleep(max(1, every))

    def _once(self, *, quiet: bool = False) -> None:
        done = sweep()
        if quiet and not done:
            return
        counted = Outgoing.objects.filter
        owed = counted(state__in=queries.STILL_OWED).count()
        asking = counted(state__in=queries.NEEDS_A_PERSON).count()
        self.stdout.write(
            f"{datetime.now(UTC):%Y-%m-%d %H:%M:%S} UTC: {done} done, "
            f"{owed} waiting, {asking} for a person to decide."
        )

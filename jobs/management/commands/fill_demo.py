"""Fill a demo business to full size, to see how the program bears it."""

from __future__ import annotations

import random
import secrets
from datetime import UTC, datetime
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import connection, transaction
from django.utils import timezone

from jobs.management.demo import open_demo
from jobs.management.filling import (
    counts_now,
    fill_jobs,
    keep_counts,
    steps_of,
)
from jobs.management.filling_prices import fill_prices
from jobs.models import Job
from materials.core.chain import Step, step_digest
from materials.models import AuditEntry, AuditHead, Business
from materials.queries.seals import frozen_rows, seal_of, sealed_guards

SEALED = 500


class Command(BaseCommand):
    help = "Fill an empty or a demo business with invented jobs, purchases and prices."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--jobs", type=int, default=20_000)
        parser.add_argument("--prices", type=int, help="default: five a job")
        parser.add_argument("--seed", type=int, default=1)

    def handle(self, *args: Any, **options: Any) -> None:
        business = Business.objects.filter(pk=1).first()
        if business is None:
            with transaction.atomic():
                open_demo(password=secrets.token_urlsafe(20), at=timezone.now())
        elif not business.is_demo:
            raise CommandError(
                f"“{business.name}” is no demo business; invented jobs do not belong "
                "into its books. Use an empty database or the demo."
            )
        prices = options["prices"]
        last = Job.objects.order_by("-pk").values_list("pk", flat=True)[0]
        # Filled once more, a business must not draw the codes it has.
        begun = f"{options['seed']}/{last}"
        chance = random.Random(begun)  # noqa: S311 - invented rows, no secret
        self._make_room()
        with transaction.atomic():
            before = {guard: set(frozen_rows(guard)) for guard in sealed_guards()}
            fill_prices(5 * options["jobs"] if prices is None else prices, chance)
            counts = counts_now()
            fill_jobs(options["jobs"], chance, counts)
            keep_counts(counts)
            self._note(before, last + 1)
        with connection.cursor() as cursor:
            cursor.execute("ANALYZE")
        self.stdout.write(f"{options['jobs']:,} jobs added.")

    def _make_room(self) -> None:
        """Let SQLite keep 256 MB of pages: ids drawn at random fall on any of them."""
        if connection.vendor == "sqlite":
            with connection.cursor() as cursor:
                cursor.execute("PRAGMA cache_size = -262144")

    def _note(self, before: dict[Any, set[int]], first: int) -> None:
        """Append the steps and seals of what was added, in bulk."""
        head = AuditHead.objects.select_for_update().get(pk=1)
        at = datetime.now(UTC)
        seq, digest = head.seq, head.digest
        entries: list[AuditEntry] = []
        for action, subject, facts in self._steps(before, first):
            seq += 1
            step = Step(
                seq=seq, at=at, actor=None, actor_kind="program", action=action,
                subject=subject, facts=facts, previous=digest,
            )  # fmt: skip
            previous, digest = digest, step_digest(step)
            entries.append(
                AuditEntry(
                    seq=seq, at=at, actor_kind="program", action=action,
                    subject=subject, facts=facts, previous=previous, digest=digest,
                )
            )  # fmt: skip
            if len(entries) == SEALED:
                AuditEntry.objects.bulk_create(entries)
                entries = []
        AuditEntry.objects.bulk_create(entries)
        AuditHead.objects.filter(pk=1).update(seq=seq, digest=digest)

    def _steps(self, before: dict[Any, set[int]], first: int) -> Any:
        yield "fill demo", "books", {"at": timezone.now().isoformat()}
        yield from steps_of(first)
        for guard, known in before.items():
            new = [pk for pk in frozen_rows(guard) if pk not in known]
            for start in range(0, len(new), SEALED):
                seal = seal_of(guard, new[start : start + SEALED])
                yield "fill demo", guard.table, {"seals": [seal]}

"""Open the demo business: its people, its price list, three jobs."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandParser
from django.db import transaction
from django.utils import timezone

from jobs.management.demo import open_demo
from materials.models import Business


class Command(BaseCommand):
    help = "Open the demo business with its three jobs, once."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--password", required=True)

    def handle(self, *args: Any, **options: Any) -> None:
        if Business.objects.filter(pk=1).exists():
            return
        with transaction.atomic():
            open_demo(password=options["password"], at=timezone.now())

"""Check that the books still hold: trail, documents, files, money, numbers."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandParser

from jobs.queries.all_books import check_books
from jobs.services.keepsake import last_backup

SHOWN = 200


class Command(BaseCommand):
    help = "Check the books; exit 1 and say what is wrong if they do not hold."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--json", type=Path, help="write the result as JSON here")
        parser.add_argument(
            "--no-anchor",
            action="store_true",
            help="do not compare with the last verified backup",
        )

        parser.add_argument(
            "--migrate",
            action="store_true",
            help="bring the schema up to date first",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        if options["migrate"]:
            call_command("migrate", verbosity=0)
        anchor = {} if options["no_anchor"] else last_backup()
        report = check_books(anchor=anchor)
        for line in report.looked_at:
            self.stdout.write(f"  {line}")
        for finding in report.findings[:SHOWN]:
            self.stdout.write(f"{finding.check}: {finding.where}: {finding.says}.")
        if options["json"]:
            options["json"].write_text(
                json.dumps(
                    {
                        "findings": len(report.findings),
                        "seq": report.seq,
                        "digest": report.head,
                    }
                ),
                encoding="utf-8",
            )
        if report.findings:
            self.stdout.write(f"{len(report.findings)} things do not hold.")
            sys.exit(1)
        self.stdout.write("The books hold.")

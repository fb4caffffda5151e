"""Find every way to slope a recess to its drain, from a JSON file."""

from __future__ import annotations

import json
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand
from django.utils.translation import gettext as _

from materials.core.cutting.pan_answer import answer, answer_text, summary
from materials.core.cutting.pan_drawing import ways_drawing
from materials.core.cutting.pan_file import read_job
from materials.core.cutting.pan_schema import SCHEMA
from materials.core.errors import Refusal
from materials.management.files import read_text, refuse, write_together


class Command(BaseCommand):
    help = "Fit factory pans, boards or mortar to a recess: reads JSON, ranks the ways."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", nargs="?", help="The job; - reads standard input.")
        parser.add_argument(
            "--json", metavar="OUT", help="Write the ways; - prints them."
        )
        parser.add_argument(
            "--svg", metavar="OUT", help="Write plan and section of every way."
        )
        parser.add_argument(
            "--schema", action="store_true", help="Print the schema of the file."
        )

    def handle(self, *args: Any, **options: Any) -> None:
        if options["schema"]:
            self.stdout.write(json.dumps(SCHEMA, indent=2))
            return
        try:
            job = read_job(_text(options["file"]))
            fit = job.fit()
            text = answer_text(answer(job, fit))
            outputs = {}
            if options["svg"]:
                outputs[options["svg"]] = ways_drawing(job.recess, fit).encode()
            if options["json"] not in (None, "-"):
                outputs[options["json"]] = text.encode()
            write_together(outputs)
        except Refusal as refusal:
            refuse(refusal)
        if options["json"] == "-":
            self.stdout.write(text, ending="")
        elif not options["json"]:
            self.stdout.write(summary(job, fit))


def _text(file: str | None) -> str:
    if not file:
        raise Refusal(_("Name the JSON file with the recess, or - for standard input."))
    return read_text(file)

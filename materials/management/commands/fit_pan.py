"""Find every way to slope a recess to its drain, from a JSON file."""

from __future__ import annotations

import json
import sys
from argparse import ArgumentParser
from pathlib import Path
from typing import Any, NoReturn

from django.core.management.base import BaseCommand
from django.utils.translation import gettext as _

from materials.core.cutting.pan_answer import answer, answer_text, summary
from materials.core.cutting.pan_drawing import ways_drawing
from materials.core.cutting.pan_file import read_job
from materials.core.cutting.pan_schema import SCHEMA
from materials.core.errors import Refusal


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
        except Refusal as refusal:
            key = f"{refusal.field}: " if refusal.field else ""
            _refuse(f"{key}{refusal.sentence}")
        written = answer_text(answer(job, fit))
        if options["svg"]:
            _write(options["svg"], ways_drawing(job.recess, fit))
        if options["json"] == "-":
            self.stdout.write(written, ending="")
        elif options["json"]:
            _write(options["json"], written)
        else:
            self.stdout.write(summary(job, fit))


def _refuse(sentence: str) -> NoReturn:
    """End with one sentence on standard error; nothing was written."""
    sys.stderr.write(f"{sentence}\n")
    raise SystemExit(2)


def _text(file: str | None) -> str:
    if not file:
        raise Refusal(_("Name the JSON file with the recess, or - for standard input."))
    try:
        raw = sys.stdin.buffer.read() if file == "-" else Path(file).read_bytes()
        return raw.decode("utf-8-sig")
    except OSError as error:
        raise Refusal(f"{file} cannot be read: {error.strerror}.") from None
    except UnicodeDecodeError:
        raise Refusal(f"{file} is not UTF-8 text.") from None


def _write(file: str, text: str) -> None:
    try:
        Path(file).write_text(text, encoding="utf-8")
    except OSError as error:
        _refuse(f"{file} cannot be written: {error.strerror}.")

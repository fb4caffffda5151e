"""Plan how to cut pieces from stock, from a JSON file and without a database."""

from __future__ import annotations

import json
import sys
import time
from argparse import ArgumentParser, ArgumentTypeError
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Any, NoReturn

from django.core.management.base import BaseCommand
from django.utils.translation import gettext as _

from materials.core.cutting.cut_drawing import plan_drawing
from materials.core.cutting.cut_file import (
    answer,
    answer_text,
    plan_job,
    read_job,
    summary,
)
from materials.core.cutting.cut_schema import SCHEMA
from materials.core.cutting.records import THOROUGH, Budget
from materials.core.errors import NotANumber, Refusal
from materials.core.quantities import parse_number

ENDLESS = 1 << 60
NANOSECONDS = 1_000_000_000
NANOSECONDS_PER_MILLISECOND = 1_000_000


class Command(BaseCommand):
    help = "Plan how to cut pieces from stock: reads JSON, proves how good the plan is."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", nargs="?", help="The job; - reads standard input.")
        parser.add_argument(
            "--json", metavar="OUT", help="Write the plan; - prints it."
        )
        parser.add_argument(
            "--svg", metavar="OUT", help="Write a drawing of the sheets."
        )
        parser.add_argument(
            "--seconds", type=_seconds, help="Search on, for so much CPU time at most."
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
            plan = plan_job(job, budget=_budget(options["seconds"]))
        except Refusal as refusal:
            key = f"{refusal.field}: " if refusal.field else ""
            _refuse(f"{key}{refusal.sentence}")
        record = answer(job, plan)
        written = answer_text(record)
        if options["svg"]:
            _write(options["svg"], plan_drawing(job, plan))
        if options["json"] == "-":
            self.stdout.write(written, ending="")
        elif options["json"]:
            _write(options["json"], written)
        else:
            self.stdout.write(summary(job, plan))


def _seconds(text: str) -> Fraction:
    try:
        seconds = parse_number(text)
    except NotANumber as refusal:
        raise ArgumentTypeError(refusal.sentence) from None
    if seconds <= 0:
        raise ArgumentTypeError("enter more than 0 seconds")
    return seconds


def _budget(seconds: Fraction | None) -> Budget:
    """Return the counted budget, or an endless one that the processor's time ends."""
    if seconds is None:
        return THOROUGH
    return Budget(
        work=ENDLESS,
        rounds=THOROUGH.rounds * 10,
        nodes=THOROUGH.nodes * 10,
        blocks=THOROUGH.blocks * 10,
        milliseconds_left=_until(seconds),
    )


def _until(seconds: Fraction) -> Callable[[], int]:
    end = time.process_time_ns() + int(seconds * NANOSECONDS)
    return lambda: (end - time.process_time_ns()) // NANOSECONDS_PER_MILLISECOND


def _refuse(sentence: str) -> NoReturn:
    """End with one sentence on standard error; nothing was written."""
    sys.stderr.write(f"{sentence}\n")
    raise SystemExit(2)


def _text(file: str | None) -> str:
    if not file:
        raise Refusal(_("Name the JSON file with the job, or - for standard input."))
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

"""Plan how to cut pieces from stock, from a JSON file and without a database."""

from __future__ import annotations

import json
import time
from argparse import ArgumentParser, ArgumentTypeError
from collections.abc import Callable
from fractions import Fraction
from typing import Any

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
from materials.management.files import read_text, refuse, write_together

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
            text = answer_text(answer(job, plan))
            outputs = {}
            if options["svg"]:
                outputs[options["svg"]] = plan_drawing(job, plan).encode()
            if options["json"] not in (None, "-"):
                outputs[options["json"]] = text.encode()
            write_together(outputs)
        except Refusal as refusal:
            refuse(refusal)
        if options["json"] == "-":
            self.stdout.write(text, ending="")
        elif not options["json"]:
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


def _text(file: str | None) -> str:
    if not file:
        raise Refusal(_("Name the JSON file with the job, or - for standard input."))
    return read_text(file)

"""Lay tiles on measured surfaces: read a file, print or write what it comes to."""

from __future__ import annotations

import json
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand
from django.utils.translation import gettext as _

from materials.core.errors import Refusal
from materials.management.files import read_text, refuse, write_together
from quotes.core.layout.answer import answer, summary
from quotes.core.layout.drawing import drawing
from quotes.core.layout.file import read_file, tallies_of
from quotes.core.layout.schema import SCHEMA


class Command(BaseCommand):
    help = "Count tiles, cuts and tiles to buy for the surfaces in FILE."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "file", metavar="FILE", nargs="?", help="a layout file, JSON"
        )
        parser.add_argument(
            "--schema", action="store_true", help="print the schema of the file"
        )
        parser.add_argument("--json", metavar="OUT", help="write JSON; - prints it")
        parser.add_argument("--svg", metavar="OUT", help="write a set-out drawing")

    def handle(self, *args: Any, **options: Any) -> None:
        if options["schema"]:
            self.stdout.write(json.dumps(SCHEMA, indent=1))
            return
        try:
            if not options["file"]:
                raise Refusal(_("FILE is missing; name a layout file."))
            outputs, text = _laid(options["file"], options["json"], options["svg"])
            write_together(outputs)
        except Refusal as refusal:
            # The sentence of a layout file names its key itself.
            refuse(Refusal(refusal.sentence))
        if text:
            self.stdout.write(text)


def _laid(
    path: str, json_out: str | None, svg_out: str | None
) -> tuple[dict[str, bytes], str]:
    """Return the files to write, by path, and the text to print."""
    file = read_file(read_text(path))
    tallies = tallies_of(file)
    answered, plan = answer(file, tallies)
    outputs: dict[str, bytes] = {}
    text = json.dumps(answered, ensure_ascii=False, indent=1)
    if svg_out:
        outputs[svg_out] = drawing(tallies, plan, unit=file.unit).encode()
    if json_out == "-":
        return outputs, text
    if json_out:
        outputs[json_out] = f"{text}\n".encode()
        return outputs, ""
    return outputs, summary(file, answered, plan)

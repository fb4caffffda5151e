"""Lay tiles on measured surfaces: read a file, print or write what it comes to."""

from __future__ import annotations

import json
import sys
from argparse import ArgumentParser
from pathlib import Path
from typing import Any, NoReturn

from django.core.management.base import BaseCommand
from django.utils.translation import gettext as _

from materials.core.errors import Refusal
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
        if not options["file"]:
            self._refuse(_("FILE is missing; name a layout file."))
        try:
            outputs, text = _laid(options["file"], options["json"], options["svg"])
            for path, content in outputs.items():
                Path(path).write_text(content, encoding="utf-8")
        except Refusal as refusal:
            self._refuse(refusal.sentence)
        except UnicodeDecodeError:
            self._refuse(_("FILE is not UTF-8 text; save it as JSON in UTF-8."))
        except OSError as error:
            self._refuse(
                _("FILE or OUT: %(name)s cannot be used: %(why)s.")
                % {"name": error.filename, "why": error.strerror}
            )
        else:
            if text:
                self.stdout.write(text)

    def _refuse(self, sentence: str) -> NoReturn:
        self.stderr.write(sentence)
        sys.exit(2)


def _laid(
    path: str, json_out: str | None, svg_out: str | None
) -> tuple[dict[str, str], str]:
    """Return the files to write, by path, and the text to print."""
    file = read_file(Path(path).read_text(encoding="utf-8-sig"))
    tallies = tallies_of(file)
    answered, plan = answer(file, tallies)
    outputs: dict[str, str] = {}
    text = json.dumps(answered, ensure_ascii=False, indent=1)
    if svg_out:
        outputs[svg_out] = drawing(tallies, plan, unit=file.unit)
    if json_out == "-":
        return outputs, text
    if json_out:
        outputs[json_out] = text + "\n"
        return outputs, ""
    return outputs, summary(file, answered, plan)

"""Price a visit file: needs, packs, cost and price, each with its working."""

from __future__ import annotations

import json
from argparse import ArgumentParser
from collections.abc import Mapping
from datetime import date
from typing import Any

from django.core.exceptions import ObjectDoesNotExist
from django.core.management.base import BaseCommand
from django.db import Error as DatabaseError
from django.utils import timezone
from django.utils.translation import gettext as _

from materials.core.errors import OutOfRange, Refusal
from materials.core.need import MaterialFacts
from materials.core.pricelist import catalogue_on
from materials.management.files import read_text, refuse, write_together
from quotes.core.choices import Rates
from quotes.core.document import Quote
from quotes.core.estimate import Estimate, estimate
from quotes.core.offering import Heading, estimate_json, quote_of
from quotes.core.summary import summary
from quotes.core.visit import Visit
from quotes.core.visit_file import parse_visit
from quotes.presenters.paper import estimate_drawings
from quotes.queries.estimating import VERSION, catalogue_of, stored_rates


class Command(BaseCommand):
    help = (
        "Price the visit in FILE. It needs no database when the file carries its "
        "prices and rates."
    )
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", metavar="FILE", help="a visit file; - reads input")
        parser.add_argument(
            "--on", metavar="DATE", help="prices of this day, 2026-03-31; else today's"
        )
        parser.add_argument("--json", metavar="OUT", help="write JSON; - prints it")
        parser.add_argument("--pdf", metavar="OUT", help="write the quote as PDF")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            visit, on = parse_visit(read_text(options["file"])), _day(options["on"])
            catalogue = _catalogue(visit, on)
            found = estimate(visit, catalogue, _rates(visit), on)
            drawn = estimate_drawings(found, catalogue) if options["pdf"] else ()
            quote = quote_of(
                found,
                Heading(
                    drawings=drawn,
                    program_version=VERSION,
                ),
            )
            outputs, text = _written(found, quote, options["json"], options["pdf"])
            write_together(outputs)
        except Refusal as refusal:
            refuse(refusal)
        if text:
            self.stdout.write(text, ending="")


def _day(text: str | None) -> date:
    if text is None:
        return timezone.localdate()
    try:
        if len(text) != len("2026-03-31"):
            raise ValueError
        return date.fromisoformat(text)
    except ValueError:
        raise OutOfRange(
            _("“%(text)s” is no date; write it as 2026-03-31.") % {"text": text[:20]},
            field="--on",
        ) from None


def _catalogue(visit: Visit, on: date) -> Mapping[str, MaterialFacts]:
    if visit.price_list is not None:
        return catalogue_on(visit.price_list, on)
    if not visit.build_ups:
        return {}
    try:
        return catalogue_of(on)
    except (DatabaseError, ObjectDoesNotExist):
        raise Refusal(
            _(
                "The file names the stored price list, and none is stored; write "
                "the prices in."
            ),
            field="price_list",
        ) from None


def _rates(visit: Visit) -> Rates:
    if visit.rates is not None:
        return visit.rates
    try:
        return stored_rates()
    except (DatabaseError, ObjectDoesNotExist):
        raise Refusal(
            _("The file names the stored rates, and none are stored; write them in."),
            field="rates",
        ) from None


def _written(
    found: Estimate, quote: Quote, json_out: str | None, pdf_out: str | None
) -> tuple[dict[str, bytes], str]:
    """Return the files to write, by path, and the text to print."""
    outputs: dict[str, bytes] = {}
    text = summary(found)
    if json_out:
        plain = json.dumps(estimate_json(found, quote), ensure_ascii=False, indent=1)
        if json_out == "-":
            text = plain + "\n"
        else:
            outputs[json_out] = f"{plain}\n".encode()
    if pdf_out:
        # The printing engine takes a second to load: only who asks for paper waits.
        from quotes.printing import quote_pdf

        outputs[pdf_out] = quote_pdf(quote)
    return outputs, text

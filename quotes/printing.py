"""Quotes on paper: HTML by template, PDF by the engine, bytes kept once.

The engine may fetch nothing but data: addresses and the program's own fonts and
style; equal documents give equal bytes.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from django.template.loader import render_to_string
from django.utils.translation import gettext as _

from materials.core.drawing.style import PRINT
from materials.core.errors import Refusal
from materials.core.need import MaterialFacts
from materials.models import Business, Person, StoredFile
from materials.printing import NO_SHEET, pdf_of
from materials.printing.papers import makes
from materials.services.keeping import keep_bytes
from quotes.core import document
from quotes.core.document import ClientQuote, Quote
from quotes.core.visit import Visit
from quotes.models import Revision
from quotes.presenters.cut_lists import cut_list_sheet
from quotes.presenters.offers import (
    option_sheet,
    plans_drawn,
    set_outs_drawn,
    surfaces_drawn,
)
from quotes.presenters.paper import offer_drawings
from quotes.services.offers import OFFER_PAPER, offer_revision
from quotes.services.papers import keep_pdf


def quote_pdf(quote: Quote | ClientQuote, business: Business | None = None) -> bytes:
    """Return the quote as the client gets it, as PDF."""
    shown = quote if isinstance(quote, ClientQuote) else document.client_view(quote)
    context: dict[str, Any] = {
        "quote": shown,
        "option": option_sheet(shown, shown.options[0]),
        "surfaces": surfaces_drawn(shown, paper=True),
        "set_outs": set_outs_drawn(shown, paper=True),
        "plans": plans_drawn(shown, paper=True),
        "style_sheet": NO_SHEET,
        "paper": business.paper if business else _paper_of(shown),
        "system": shown.system,
        "business": business,
        "digest": _digest(quote),
    }
    return pdf_of(render_to_string("print/quote.html", context))


def cut_list_pdf(
    visit: Visit,
    catalogue: Mapping[str, MaterialFacts],
    *,
    title: str,
    on: date,
    job: str = "",
) -> bytes:
    """Return the cut list of a visit, or of a job by its number, as PDF.

    Raises: Refusal where the visit cannot be taken off.
    """
    sheet = cut_list_sheet(visit, catalogue, style=PRINT, job=job)
    if sheet.refused:
        raise Refusal(sheet.refused)
    business = Business.objects.filter(pk=1).first()
    ruler = "inch" if visit.system == "imperial" else "mm"
    context: dict[str, Any] = {
        "title": title,
        "sheet": sheet,
        "business": business,
        "on": on,
        "style_sheet": NO_SHEET,
        "paper": f"{business.paper if business else 'a4'}-{ruler}",
    }
    return pdf_of(render_to_string("print/cut_list.html", context))


def _paper_of(shown: ClientQuote) -> str:
    return "letter" if shown.currency == "USD" else "a4"


def _digest(quote: Quote | ClientQuote) -> str:
    return document.digest(quote)[:8] if isinstance(quote, Quote) else ""


def revision_pdf(revision: Revision) -> bytes:
    """Return the PDF of a revision, as it stands now."""
    business = Business.objects.filter(pk=1).first()
    return quote_pdf(document.from_json(revision.document), business)


def offer_on_paper(*, revision: Revision, on: date, person: Person) -> Revision:
    """Offer a draft with its drawings, and keep the paper's bytes for good.

    The paper is made outside the offering transaction: a slow page must not hold the
    database's lock. Asked again, the first paper stands.
    """
    offered = offer_revision(
        revision=revision, on=on, person=person, drawings=offer_drawings(revision)
    )
    return _with_paper(offered, person)


def _with_paper(offered: Revision, person: Person | None) -> Revision:
    """Return an offered revision whose paper is kept; the first one stands."""
    if offered.pdf_id is not None:
        return offered
    stored = keep_bytes(
        data=revision_pdf(offered),
        media_type="application/pdf",
        name=f"{offered.quote.number}-{offered.letter}.pdf",
        person=person,
    )
    return keep_pdf(revision=offered, stored=stored)


@makes(OFFER_PAPER)
def offer_paper(pk: int) -> StoredFile:
    """Return the kept paper of an offered revision, made now if it is not yet.

    Raises: Refusal when there is no such offer, or it is a draft.
    """
    row = Revision.objects.select_related("quote__visit__site__client", "pdf")
    revision = row.exclude(state=Revision.State.DRAFTING).filter(pk=pk).first()
    if revision is None:
        raise Refusal(_("That offer is not there any more."))
    paper = _with_paper(revision, None).pdf
    if paper is None:
        raise Refusal(_("The paper of this offer could not be kept; try again."))
    return paper

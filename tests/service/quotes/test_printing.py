"""The quote on paper: what stands together, and what the client is spared."""

from __future__ import annotations

import copy
from dataclasses import replace
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from pypdf import PdfReader

from materials.core.pricelist import catalogue_on
from materials.management.commands.prepare_fonts import prepare_fonts
from materials.models import Business
from quotes.core.document import Quote
from quotes.core.offering import quote_of
from quotes.presenters.paper import estimate_drawings
from quotes.printing import quote_pdf
from tests import builders
from tests.priced import ON, priced_visit

TERMS = "\n".join(
    f"Term {number}: what was agreed is kept, and what was not is agreed first."
    for number in range(1, 9)
)


def a_quote(*, terms: str = "") -> Quote:
    """Return the quote of the shower with its drawings."""
    file: dict[str, Any] = copy.deepcopy(builders.a_shower())
    file["terms"]["text"] = terms
    found = priced_visit(file)
    listed = found.visit.price_list
    assert listed is not None
    drawings = estimate_drawings(found, catalogue_on(listed, ON))
    return replace(quote_of(found), drawings=drawings)


def sheets(quote: Quote, paper: str) -> list[str]:
    """Return the words of each sheet of a quote."""
    prepare_fonts(Path(settings.BASE_DIR) / "static" / "fonts")
    business = Business(name="Rill & Co", system=quote.system, paper=paper)
    reader = PdfReader(BytesIO(quote_pdf(quote, business)))
    return [page.extract_text() for page in reader.pages]


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_the_drawings_begin_under_their_heading_on_the_first_sheet(paper: str) -> None:
    found = sheets(a_quote(), paper)

    assert "As measured" in found[0]
    assert "Shower, floor" in found[0]
    assert "Shower, back wall" in found[0]
    assert len(found) <= 4


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("terms", ["", TERMS, TERMS + "\n" + TERMS])
def test_the_cautions_and_the_signature_stand_on_one_sheet(
    paper: str, terms: str
) -> None:
    found = sheets(a_quote(terms=terms), paper)

    (signed,) = (text for text in found if "Signature" in text)
    assert "silica dust" in signed
    assert "Nothing here certifies" in signed


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_the_sum_stands_with_the_lines_it_adds_up(paper: str) -> None:
    found = sheets(a_quote(), paper)

    (summed,) = (text for text in found[1:] if "Before tax" in text)
    assert "Seal, clean down and test" in summed
    assert summed.count("To pay") == 1


def test_how_boards_are_cut_is_no_drawing_of_the_offer() -> None:
    quote = a_quote()

    titles = [drawing.title for drawing in quote.drawings]
    assert any("pan" in title.lower() for title in titles)
    assert not any("board" in title.lower() for title in titles)

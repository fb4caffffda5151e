"""A document for the client: frame, true tape, title block, right fractions."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from typing import Any, cast

import pypdf
import pytest
from django.conf import settings
from django.template.loader import render_to_string
from moneyed import Money
from weasyprint import HTML

from materials.core.drawing.records import Frame, SurfaceDrawing
from materials.core.drawing.style import PRINT
from materials.core.drawing.surface import draw_surface
from materials.core.lengths import Length
from materials.management.commands.prepare_fonts import prepare_fonts
from materials.models import Business

pytestmark = pytest.mark.django_db

SIXTEENTHS = tuple(Length.inch(f"{n} {2 * n + 1}/16") for n in range(1, 8))


def document(paper: str) -> pypdf.PdfReader:
    """Return the sheet of parts as a PDF on some paper."""
    static = Path(settings.BASE_DIR) / "static"
    prepare_fonts(static / "fonts")
    walls = {
        f"wall{index}": draw_surface(
            SurfaceDrawing(
                name=f"w{index}",
                sentence="Wall",
                outline=(
                    (0, 0),
                    (9_000_000, 0),
                    (9_000_000, 4_000_000),
                    (0, 4_000_000),
                ),
                measured=(length, None, length),
            ),
            Frame(style=PRINT, system="imperial", ratio=64),
        )
        for index, length in enumerate(SIXTEENTHS)
    }
    html = render_to_string(
        "print/look.html",
        {
            "business": Business(name="Tiles & Sons", system="imperial"),
            "paper": paper,
            "style_sheet": (static / "css" / "print.css").as_uri(),
            "drawings": {"setout": "".join(walls.values())},
            "lengths": SIXTEENTHS,
            "amount": Money("1268.00", "GBP"),
            "steps": (),
        },
    )
    return pypdf.PdfReader(BytesIO(HTML(string=html).write_pdf()))


@pytest.fixture(scope="module")
def paper(django_db_blocker: object) -> pypdf.PdfReader:
    """Return one document for the tests that only read it."""
    return document("letter-inch")


def words(reader: pypdf.PdfReader) -> str:
    """Return all text of a document."""
    return "\n".join(page.extract_text() for page in reader.pages)


def test_every_sixteenth_in_a_printed_drawing_is_the_one_measured(
    paper: pypdf.PdfReader,
) -> None:
    small = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")
    text = words(paper).replace(" ", "")

    for n in range(1, 8):
        top = str(2 * n + 1).translate(small)
        assert f"{n}{top}⁄₁₆″" in text, n


def test_the_sheet_is_us_letter_or_a4_as_the_business_prints() -> None:
    sizes = {
        name: tuple(round(float(v)) for v in document(name).pages[0].mediabox[2:])
        for name in ("letter-inch", "a4-mm")
    }

    assert sizes == {"letter-inch": (612, 792), "a4-mm": (595, 842)}


def test_every_page_carries_the_title_block_and_its_number(
    paper: pypdf.PdfReader,
) -> None:
    for number, page in enumerate(paper.pages, start=1):
        text = page.extract_text()
        assert "Q-0001 B" in text
        assert f"{number} / {len(paper.pages)}" in text


def test_a_document_is_set_in_its_own_faces_alone(paper: pypdf.PdfReader) -> None:
    faces = {
        str(font.get_object()["/BaseFont"]).split("+")[-1].split("-")[0]
        for page in paper.pages
        for font in cast("Any", page)["/Resources"]["/Font"].values()
    }

    assert faces <= {"Barlow", "Source", "Marks"}

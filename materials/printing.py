"""The PDF engine, shut in: it fetches nothing but data that this program hands it."""

from __future__ import annotations

import atexit
import base64
import re
from functools import lru_cache
from pathlib import Path
from typing import Any

from django.conf import settings

from materials.core.errors import Refusal

STATIC = Path(settings.BASE_DIR) / "static"
NO_SHEET = "data:text/css,"
"""What a document's own link to the style sheet is replaced by."""

_URL = re.compile(r"url\(\s*[\"']?([^\"')]+)[\"']?\s*\)")


class FontsMissing(Refusal):
    """The fonts were not prepared; the engine would crash without any."""

    code = "fonts_missing"


def _as_data(match: re.Match[str]) -> str:
    name = match[1]
    if name.startswith("data:"):
        return match[0]
    place = (STATIC / "css" / name).resolve()
    if not place.is_relative_to(STATIC):
        raise FontsMissing(f"{name} lies outside the program's own files.")
    if not place.exists():
        raise FontsMissing(
            f"The font {place.name} is not there; run: manage.py prepare_fonts"
        )
    data = base64.b64encode(place.read_bytes()).decode("ascii")
    kind = "font/woff2" if place.suffix == ".woff2" else "image/svg+xml"
    return f'url("data:{kind};base64,{data}")'


@lru_cache(maxsize=1)
def _engine() -> tuple[Any, Any, Any]:
    """Return fetcher, font configuration and style sheet: made once a process.

    A fresh font configuration for each paper would leak a third of a megabyte.
    """
    from weasyprint import CSS
    from weasyprint.text.fonts import FontConfiguration
    from weasyprint.urls import URLFetcher

    fetcher = URLFetcher(allowed_protocols={"data"})
    fonts = FontConfiguration()
    text = (STATIC / "css" / "print.css").read_text(encoding="utf-8")
    sheet = CSS(string=_URL.sub(_as_data, text), font_config=fonts, url_fetcher=fetcher)
    return fetcher, fonts, sheet


# The configuration's own farewell fails once the interpreter has torn itself down.
atexit.register(_engine.cache_clear)


def pdf_of(html: str, *, title: str = "") -> bytes:
    """Return a document's HTML as PDF bytes; equal HTML gives equal bytes.

    Raises: FontsMissing when the fonts were not prepared.
    """
    from weasyprint import HTML

    fetcher, fonts, sheet = _engine()
    page = HTML(string=html, base_url="about:blank", url_fetcher=fetcher)
    pdf: bytes = page.write_pdf(
        stylesheets=[sheet], font_config=fonts, pdf_variant="pdf/ua-1"
    )
    return pdf

"""The PDF engine in a process of its own: `main` answers whoever started it.

Reads documents as HTML from standard input and answers each with PDF bytes. It fetches
nothing but data that this program hands it, and dies of a document that takes more
computing or memory than a paper may. The process that asks is `child.py`.
"""

from __future__ import annotations

import base64
import contextlib
import re
import resource
import struct
import sys
from functools import lru_cache
from pathlib import Path
from typing import Any, BinaryIO

STATIC = Path(__file__).resolve().parents[2] / "static"
LENGTH = struct.Struct(">Q")
DONE, FONTS, MEMORY, BROKEN = b"+", b"f", b"m", b"!"
"""First byte of an answer; then its length and its bytes."""

_UNPRINTED = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")
"""Characters with no letter: they spoil what a reader copies, or turn words round."""
_URL = re.compile(r"url\(\s*[\"']?([^\"')]+)[\"']?\s*\)")


class NoFont(Exception):
    """A font of the style sheet is not there; the engine would crash without any."""


def _as_data(match: re.Match[str]) -> str:
    name = match[1]
    if name.startswith("data:"):
        return match[0]
    place = (STATIC / "css" / name).resolve()
    if not (place.is_relative_to(STATIC) and place.exists()):
        raise NoFont(place.name)
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


def rendered(html: str) -> bytes:
    """Return a document's HTML as PDF bytes; equal HTML gives equal bytes.

    Raises: NoFont when the fonts were not prepared.
    """
    from weasyprint import HTML

    fetcher, fonts, sheet = _engine()
    page = HTML(
        string=_UNPRINTED.sub("", html), base_url="about:blank", url_fetcher=fetcher
    )
    pdf: bytes = page.write_pdf(
        stylesheets=[sheet], font_config=fonts, pdf_variant="pdf/ua-1"
    )
    return pdf


def _answer(html: str) -> tuple[bytes, bytes]:
    try:
        return DONE, rendered(html)
    except NoFont as missing:
        return FONTS, str(missing).encode()
    except MemoryError:
        return MEMORY, b""
    # The engine's own fetching error is no Exception; nothing may end the answer.
    except BaseException as error:  # noqa: BLE001
        return BROKEN, f"{type(error).__name__}: {error}"[:2_000].encode()


def _allow_one_paper(seconds: int) -> None:
    """Give the next paper its seconds on top of what was computed so far."""
    spent = resource.getrusage(resource.RUSAGE_SELF)
    used = int(spent.ru_utime + spent.ru_stime) + 1
    _soft, hard = resource.getrlimit(resource.RLIMIT_CPU)
    resource.setrlimit(resource.RLIMIT_CPU, (used + seconds, hard))


def _shut_in(memory: int) -> None:
    # Systems that cannot limit address space still limit computing and time.
    with contextlib.suppress(ValueError, OSError):
        resource.setrlimit(resource.RLIMIT_AS, (memory, memory))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def _exactly(stream: BinaryIO, count: int) -> bytes:
    data = stream.read(count)
    if len(data) < count:
        raise EOFError
    return data


def main(seconds: int, memory: int) -> None:
    """Answer until whoever asks goes away.

    `seconds` of computing for each paper, `memory` bytes of address space in all.
    """
    asks, answers = sys.stdin.buffer, sys.stdout.buffer
    _shut_in(memory)
    with contextlib.suppress(EOFError, BrokenPipeError, KeyboardInterrupt):
        while True:
            (length,) = LENGTH.unpack(_exactly(asks, LENGTH.size))
            html = _exactly(asks, length).decode("utf-8")
            _allow_one_paper(seconds)
            status, data = _answer(html)
            answers.write(status + LENGTH.pack(len(data)) + data)
            answers.flush()
    # The configuration's own farewell fails once the interpreter has torn itself down.
    _engine.cache_clear()

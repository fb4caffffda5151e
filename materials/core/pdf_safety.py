"""What a PDF from outside holds that is no page: programs, other files, ways out.

Read by the object model, not by words: names can be written in many ways, and most of
a file is packed. Unpacking can be made to take any amount of memory, so whoever asks
does it in a process with limits (`materials/services/pdf_judge.py`).
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from typing import Any

import pikepdf

DEEPEST = 60
ACTIONS = frozenset(
    {
        "/GoTo3DView", "/GoToE", "/GoToR", "/ImportData", "/JavaScript", "/Launch",
        "/Movie", "/Rendition", "/RichMediaExecute", "/Sound", "/SubmitForm",
    }
)  # fmt: skip
"""Kinds of action that run, send, play or open something; a link to a page is none."""
PARTS = frozenset(
    {"/3D", "/EmbeddedGoTo", "/FileAttachment", "/Movie", "/RichMedia", "/Screen",
     "/Sound"}
)  # fmt: skip
KEYS = frozenset({"/JS", "/XFA"})
_BROKEN = (
    pikepdf.PdfError, pikepdf.PasswordError, RuntimeError, TypeError, KeyError,
)  # fmt: skip
_EMPTY = b" \t\r\n\f\0"


class NoPdf(ValueError):
    """It cannot be read as a PDF, or not without a password."""


def unsafe_parts(data: bytes) -> set[str]:
    """Return the names of what a PDF holds besides pages; empty for a plain one.

    An invoice's own data in XML, as e-invoices carry it, is plain; any other file
    inside is not, nor is anything that hangs on behind the PDF's end.

    Raises: NoPdf.
    """
    found = set() if data.rstrip(_EMPTY).endswith(b"%%EOF") else {"tail"}
    try:
        with pikepdf.open(io.BytesIO(data)) as pdf:
            if len(pdf.pages) == 0:
                raise NoPdf("It has no page.")
            for one in pdf.objects:
                for part in _parts(one, 0):
                    found |= _unsafe_in(part)
    except _BROKEN as error:
        raise NoPdf(str(error)) from error
    return found


def _parts(one: Any, depth: int) -> Iterator[Any]:
    """Yield every dictionary that stands in an object itself, at any depth.

    What it only points to is an object of its own and is looked at for itself.
    """
    if depth > DEEPEST:
        raise NoPdf("It is nested too deep.")
    inside: Any = ()
    if isinstance(one, pikepdf.Dictionary | pikepdf.Stream):
        yield one
        inside = [one.get(key) for key in one.keys()]  # noqa: SIM118 - no mapping
    elif isinstance(one, pikepdf.Array):
        inside = list(one)
    for part in inside:
        if isinstance(part, pikepdf.Object) and not part.is_indirect:
            yield from _parts(part, depth + 1)


def _unsafe_in(part: Any) -> set[str]:
    keys = set(part.keys())
    found = {f"/{one.strip('/')}" for one in keys & KEYS}
    found |= {str(part.get("/S"))} & ACTIONS
    found |= {str(part.get("/Subtype"))} & PARTS
    if isinstance(part, pikepdf.Stream):
        if "/F" in keys:
            found.add("/F")
        if str(part.get("/Type")) == "/EmbeddedFile" and not _is_xml(part):
            found.add("/EmbeddedFile")
    elif "/EF" in keys and not _holds_xml(part):
        found.add("/EmbeddedFile")
    return found


def _holds_xml(file: Any) -> bool:
    streams = [file.EF.get(key) for key in file.EF.keys()]  # noqa: SIM118
    return all(isinstance(one, pikepdf.Stream) and _is_xml(one) for one in streams)


def _is_xml(stream: Any) -> bool:
    """Return whether an enclosed file is data in XML that defines nothing itself."""
    text = bytes(stream.read_bytes())
    plain = text.removeprefix(b"\xef\xbb\xbf").lstrip()
    return plain.startswith(b"<?xml") and b"<!" not in plain.replace(b"<!--", b"")

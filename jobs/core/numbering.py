"""The look of document numbers, there and back.

A number is a prefix for the kind of document, the year where the series starts anew
each year, and a count without gaps: I-2026-0007. The count itself is given out by a
locked row; this module only writes and reads it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from materials.core.errors import NotANumber, OutOfRange, Unknown

PREFIXES = {"job": "J", "invoice": "I", "credit": "C", "variation": "V"}
"""One letter a kind of document; keys are the kinds of series."""

YEARLY = frozenset({"invoice", "credit"})
"""Series that start anew each year; the others run on, with year 0."""

_LOOK = re.compile(r"([A-Z])-(?:([0-9]{4})-)?([0-9]{4,9})")
_LARGEST = 10**9 - 1


@dataclass(frozen=True, slots=True, kw_only=True)
class DocumentNumber:
    """A place in a series: kind, year (0 where the series runs on), count from 1."""

    kind: str
    year: int
    count: int

    def __str__(self) -> str:
        """Return the number as printed.

        >>> str(DocumentNumber(kind="invoice", year=2026, count=7))
        'I-2026-0007'
        >>> str(DocumentNumber(kind="job", year=0, count=93))
        'J-0093'
        """
        letter = PREFIXES[self.kind]
        year = f"{self.year}-" if self.year else ""
        return f"{letter}-{year}{self.count:04d}"


def series_year(kind: str, year: int) -> int:
    """Return the year a series of this kind is kept under in a calendar year.

    Raises: Unknown for a kind without a series.
    """
    if kind not in PREFIXES:
        raise Unknown(f"“{kind[:20]}” is no kind of document with numbers.")
    return year if kind in YEARLY else 0


def following(last: int, *, kind: str, year: int) -> DocumentNumber:
    """Return the number after `last` in the series of a kind and calendar year.

    Raises: OutOfRange if the series is full or `last` is below nothing.
    """
    if not 0 <= last < _LARGEST:
        raise OutOfRange(f"The series cannot go on after {last}.")
    return DocumentNumber(kind=kind, year=series_year(kind, year), count=last + 1)


def parse_document_number(text: str) -> DocumentNumber:
    """Return the number that was printed so.

    Raises: NotANumber for anything that no series prints.
    """
    match = _LOOK.fullmatch(text.strip())
    kinds = {letter: kind for kind, letter in PREFIXES.items()}
    if match is None or match[1] not in kinds:
        raise NotANumber(
            f"“{text[:20]}” is no document number; write it as I-2026-0007."
        )
    kind = kinds[match[1]]
    number = DocumentNumber(kind=kind, year=int(match[2] or 0), count=int(match[3]))
    if bool(number.year) is not (kind in YEARLY) or str(number) != text.strip():
        raise NotANumber(f"“{text[:20]}” is no number of its series; check it.")
    return number

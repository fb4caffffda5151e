"""A square code that a camera reads, drawn as one path: no style, no request."""

from __future__ import annotations

import qrcode
from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe

QUIET = 4
"""Empty modules all round, which the camera needs.

Source: ISO/IEC 18004 asks for four (from memory).
"""


def square_code(text: str, *, label: str) -> SafeString:
    """Return a text as a square code; `label` says what it is to who cannot see it."""
    drawn = qrcode.QRCode(
        border=QUIET, error_correction=qrcode.constants.ERROR_CORRECT_M
    )
    drawn.add_data(text)
    rows = drawn.get_matrix()
    path = "".join(
        f"M{x} {y}h1v1h-1z"
        for y, row in enumerate(rows)
        for x, dark in enumerate(row)
        if dark
    )
    return format_html(
        '<svg class="scanned" viewBox="0 0 {0} {0}" role="img" aria-label="{1}">'
        '<path class="ground" d="M0 0h{0}v{0}h-{0}z"/><path d="{2}"/></svg>',
        len(rows),
        label,
        mark_safe(path),  # noqa: S308 - numbers only
    )


def in_fours(text: str) -> str:
    """Return a secret or a code in groups of four, to be typed off.

    >>> in_fours("ABCDEFGHIJ")
    'ABCD EFGH IJ'
    """
    return " ".join(text[place : place + 4] for place in range(0, len(text), 4))

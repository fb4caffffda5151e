"""Marks of state and icons: line work on an 18 and a 24 grid, never without a word.

A quote is a circle, a job a tile, an invoice a sheet, an entry a dot, a letter an
envelope. Dashed is not there yet or gone, filled is done; no colour says anything a
line does not.
"""

from __future__ import annotations

from materials.core.errors import Unknown

MARKS = {
    "quote": {
        "drafting": '<circle class="dash" cx="9" cy="9" r="6.5"/>',
        "offered": '<circle cx="9" cy="9" r="6.5"/><path d="M5.5 9h7M9.5 6l3 3-3 3"/>',
        "accepted": '<circle class="fill" cx="9" cy="9" r="6.5"/>'
        '<path class="inv" d="M5.7 9.2l2.4 2.4 4.2-4.9"/>',
        "declined": '<circle cx="9" cy="9" r="6.5"/><path d="M4.4 13.6l9.2-9.2"/>',
        "lapsed": '<circle cx="9" cy="9" r="6.5"/><path d="M9 4.6V9l3 2.8"/>',
        "withdrawn": '<circle cx="9" cy="9" r="6.5"/><path d="M5.5 9h7"/>',
        "replaced": '<circle class="dash" cx="7" cy="7" r="5"/>'
        '<circle cx="11" cy="11" r="5"/>',
    },
    "job": {
        "booked": '<path d="M2.5 2.5h13v13h-13z"/>',
        "on_site": '<path d="M2.5 2.5h13v13h-13zM9 2.5v13"/>'
        '<path class="thin" d="M2.5 6.5l4-4M2.5 11L9 4.5M2.5 15.3L9 8.8M7 15.3l2-2"/>',
        "snagging": '<path d="M2.5 2.5h13v8l-5 5h-8z"/>'
        '<path class="thin" d="M2.5 7L7 2.5M2.5 11.5l9-9M3.2 15.3L15.3 3.2'
        'M7.6 15.3l7.7-7.7"/><path class="dash" d="M10.5 15.5h5v-5"/>',
        "complete": '<path class="fill" d="M2.5 2.5h13v13h-13z"/>',
        "closed": '<path d="M1.5 1.5h15v15h-15z"/>'
        '<path class="fill" d="M4.8 4.8h8.4v8.4H4.8z"/>',
    },
    "invoice": {
        "draft": '<path class="dash" d="M3.5 1.5h7l4 4v11h-11z"/>',
        "issued": '<path d="M3.5 1.5h7l4 4v11h-11zM10.5 1.5v4h4"/>',
        "part_settled": '<path d="M3.5 1.5h7l4 4v11h-11zM10.5 1.5v4h4"/>'
        '<path class="fill" d="M3.5 10.5h11v6h-11z"/>',
        "settled": '<path class="fill" d="M3.5 1.5h7l4 4v11h-11z"/>'
        '<path class="inv" d="M6.2 10l2 2.2 3.8-4.4"/>',
        "overdue": '<path d="M4 16.5v-15l10 3.5-10 4"/>',
    },
    "post": {
        "waiting": '<path class="dash" d="M1.5 4h15v10h-15z"/>',
        "working": '<path d="M1.5 4h15v10h-15zM4 9h9M10 6l3 3-3 3"/>',
        "done": '<path class="fill" d="M1.5 4h15v10h-15z"/>'
        '<path class="inv" d="M5.7 9.2l2.4 2.4 4.2-4.9"/>',
        "unknown": '<path d="M1.5 4h15v10h-15z"/>'
        '<path d="M7 7.6c0-2.4 4-2.4 4 0 0 1.4-2 1.2-2 2.8M9 12v.6"/>',
        "failed": '<path d="M1.5 4h15v10h-15zM1.5 4l15 10M16.5 4l-15 10"/>',
        "given_up": '<path d="M1.5 4h15v10h-15zM5 9h8"/>',
    },
    "entry": {
        "kept": '<circle class="dash" cx="9" cy="9" r="5"/>',
        "received": '<circle class="fill" cx="9" cy="9" r="5"/>',
        "two_readings": '<path d="M2 5.5h14M2 12.5h14M3.5 3.5v4M14.5 3.5v4'
        'M3.5 10.5v4M12 10.5v4"/>',
    },
}

ICONS = {
    "back": '<path d="M14 4l-8 8 8 8M6 12h14"/>',
    "menu": '<path d="M4 6h16M4 12h16M4 18h16"/>',
    "erase": '<path d="M9 5h12v14H9l-6-7zM12 9l6 6M18 9l-6 6"/>',
    "camera": '<path d="M3 7h5l2-3h4l2 3h5v13H3z"/><circle cx="12" cy="13" r="4"/>',
    "photo": '<path d="M3 4h18v16H3zM3 16l6-6 5 5 3-3 4 4"/>',
    "add": '<path d="M12 4v16M4 12h16"/>',
    "open": '<path d="M5 5v14h14M9 15L19 5M12 5h7v7"/>',
    "print": '<path d="M7 9V3h10v6M7 17H3V9h18v8h-4M7 14h10v7H7z"/>',
    "send": '<path d="M3 12h16M13 6l6 6-6 6M21 4v16"/>',
    "search": '<circle cx="10" cy="10" r="6"/><path d="M14.5 14.5L21 21"/>',
    "done": '<path d="M4 13l5 5L20 6"/>',
    "sign": '<path d="M3 20h18M5 16c3-9 6-12 7-10s-4 9-2 9 4-6 5-5-1 4 1 4 3-2 4-3"/>',
    "turn": '<path d="M5 9a8 8 0 1 1-1 6M5 3v6h6"/>',
}

KEYS = {
    "whole": "",
    "cut": '<path d="M0 8l8-8M4 16L20 0M12 16L26 2M20 16l6-6"/>',
    "reused": '<path d="M0 8l8-8M4 16L20 0M12 16L26 2M20 16l6-6M26 8l-8-8M22 16L6 0'
    'M14 16L0 2M6 16l-6-6"/>',
    "waste": '<path d="M2 16L18 0M14 16L26 4"/>',
    "spare": '<circle cx="6" cy="5" r=".8"/><circle cx="13" cy="5" r=".8"/>'
    '<circle cx="20" cy="5" r=".8"/><circle cx="9" cy="11" r=".8"/>'
    '<circle cx="16" cy="11" r=".8"/><circle cx="22" cy="11" r=".8"/>',
    "broken": '<path d="M9 0l4 6-4 4 5 6" stroke-width="1.5"/>',
    "shows": '<path d="M3 8h20" stroke-width="4" stroke-linecap="round" '
    'stroke-dasharray=".1 6"/>',
    "chalk": '<path d="M0 8h26" stroke-dasharray="9 2 2 2" stroke-width="1.2"/>',
}
"""Samples of hatches and lines for the key under a drawing."""

_BARE = ("shows", "chalk")
_DASHED = ("waste", "spare")

_LINE = 'fill="none" stroke="currentColor"'
"""Said in the drawing too, because the PDF engine keeps the page's style out."""

_SAID = {
    'class="fill"': 'fill="currentColor"',
    'class="inv"': 'stroke="#fff"',
    'class="dash"': 'stroke-dasharray="2.5 2"',
    'class="thin"': 'stroke-width="1"',
}

CAUTION = (
    f'<svg viewBox="0 0 28 28" aria-hidden="true" {_LINE} stroke-width="1.5">'
    '<path d="M14 4L26 24.5H2z"/>'
    '<path d="M14 11.5v6.5M14 20v2" stroke-width="2"/></svg>'
)
WRONG = (
    f'<svg viewBox="0 0 28 28" aria-hidden="true" {_LINE} stroke-width="3">'
    '<path d="M14 4L26 24.5H2z"/></svg>'
)
OWN = (
    f'<svg class="own" viewBox="0 0 34 34" aria-hidden="true" {_LINE}>'
    '<path stroke-width="2" d="M12 1.5h10v31H12z"/>'
    '<path stroke-width="2" d="M12 8h6M12 16h10M12 24h6"/>'
    '<path stroke-width="1" d="M12 12h3.5M12 20h3.5M12 28h3.5M12 4.5h3.5"/>'
    '<path stroke-width="1" stroke-dasharray="3 2" d="M1 16h10M23 16h10"/></svg>'
)
"""The program's own sign: a gauge rod on a level line."""


def state_mark(kind: str, state: str) -> str:
    """Return the sign of a state as SVG text; the word goes beside it.

    Raises: Unknown for a kind or state that has no mark.
    """
    try:
        drawn = MARKS[kind][state]
    except KeyError as error:
        raise Unknown(f"No mark is drawn for {kind} “{state}”.") from error
    for kind_of_line, said in _SAID.items():
        drawn = drawn.replace(kind_of_line, f"{kind_of_line} {said}")
    return (
        f'<svg viewBox="0 0 18 18" aria-hidden="true" {_LINE} stroke-width="1.5">'
        f"{drawn}</svg>"
    )


def icon(name: str) -> str:
    """Return an icon as SVG text; the word goes beside it or is read aloud.

    Raises: Unknown for a name that has no icon.
    """
    if name not in ICONS:
        raise Unknown(f"No icon is called “{name}”.")
    return (
        f'<svg class="ic" viewBox="0 0 24 24" aria-hidden="true" {_LINE} '
        f'stroke-width="1.5">{ICONS[name]}</svg>'
    )


def key_sample(kind: str) -> str:
    """Return a sample of a hatch or line for the key under a drawing.

    Raises: Unknown for a kind that has no sample.
    """
    if kind not in KEYS:
        raise Unknown(f"No hatch or line is called “{kind}”.")
    dash = ' stroke-dasharray="3 2.5"' if kind in _DASHED else ""
    edge = f'<path d="M.75.75h24.5v14.5H.75z" stroke-width="1.2"{dash}/>'
    return (
        '<svg viewBox="0 0 26 16" aria-hidden="true" fill="none" '
        f'stroke="currentColor" stroke-width=".8">{KEYS[kind]}'
        f"{'' if kind in _BARE else edge}</svg>"
    )


def numbered(number: int) -> str:
    """Return the ring with a number that opens a note."""
    return (
        f'<svg viewBox="0 0 28 28" aria-hidden="true" {_LINE} stroke-width="1.5">'
        '<circle cx="14" cy="14" r="12"/><text x="14" y="19" text-anchor="middle" '
        'fill="currentColor" stroke="none" font-family="Barlow" font-size="14" '
        f'font-weight="600">{number}</text></svg>'
    )

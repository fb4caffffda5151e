"""Lengths as people type them, made by grammar and then spoilt: hypothesis strategies.

Free text finds nothing in a parser of lengths; texts made by its own grammar, and
those with one letter changed, do.
"""

from __future__ import annotations

from hypothesis import strategies as st

SPACES = st.sampled_from(["", "", " ", " ", "  ", "\u00a0", "\t", "\u202f"])
WHOLES = st.one_of(
    st.integers(0, 130).map(str),
    st.integers(0, 10**10).map(str),
    st.sampled_from(["0", "00", "007", "0000000012", "9" * 9, "9" * 10, "9" * 40]),
)
DECIMALS = st.builds(
    "{}.{}".format,
    st.one_of(st.integers(0, 3000).map(str), st.just("")),
    st.one_of(st.integers(0, 10**10).map(str), st.sampled_from(["", "5", "000"])),
)
FRACTIONS = st.one_of(
    st.builds(
        "{}{}{}".format,
        st.integers(0, 70),
        st.sampled_from(["/", "/", "⁄"]),
        st.sampled_from([0, 1, 2, 3, 4, 7, 8, 16, 32, 64, 128, 999_999, 1_000_000]),
    ),
    st.sampled_from("½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"),
)
DASHES = st.sampled_from(["-", "‐", "‑", "–", "−"])
MIXED = st.builds(
    "{}{}{}".format,
    WHOLES,
    st.one_of(SPACES, DASHES, st.builds("{}{}{}".format, SPACES, DASHES, SPACES)),
    FRACTIONS,
)
VALUES = st.one_of(WHOLES, DECIMALS, FRACTIONS, MIXED)
INCHES = st.sampled_from(
    ['"', "″", "”", "''", "′′", "in", "in.", "IN", "inch", "inches"]
)
FEET = st.sampled_from(["'", "′", "’", "ft", "ft.", "Ft", "foot", "feet"])
METRIC = st.sampled_from(["mm", "cm", "m", "MM", "M"])
UNITS = st.one_of(INCHES, FEET, METRIC, st.just(""))

TERMS = st.one_of(
    st.builds("{}{}{}".format, VALUES, SPACES, UNITS),
    st.builds(
        "{}{}{}{}{}{}".format,
        VALUES,
        SPACES,
        FEET,
        st.one_of(SPACES, DASHES, st.just(" - ")),
        VALUES,
        st.one_of(INCHES, st.just("")),
    ),
    st.builds("{} {}".format, WHOLES, VALUES),
    st.builds("{} {}{}".format, WHOLES, MIXED, st.one_of(INCHES, st.just(""))),
)
WELL_MADE = st.lists(TERMS, min_size=1, max_size=3).map(" + ".join)

ODD = st.one_of(
    st.sampled_from("0123456789.,/'\"+-−eE xX°²½⅞ mcftin٣५１𝟗\u200b\u202e\x00İſ"),
    st.sampled_from(["NaN", "inf", "1e3", "0x1", "1_0"]),
)


@st.composite
def spoilt(draw: st.DrawFn) -> str:
    """Return a well-made text with one place cut out or something put in."""
    text = draw(WELL_MADE)
    place = draw(st.integers(0, len(text)))
    cut = draw(st.integers(0, 2))
    return text[:place] + draw(st.one_of(st.just(""), ODD)) + text[place + cut :]


TYPED = st.one_of(WELL_MADE, WELL_MADE, spoilt())

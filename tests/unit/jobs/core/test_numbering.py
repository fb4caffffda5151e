"""Document numbers are written and read alike."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.core.numbering import (
    PREFIXES,
    YEARLY,
    DocumentNumber,
    following,
    parse_document_number,
    series_year,
)
from materials.core.errors import NotANumber, OutOfRange, Unknown

NUMBERS = st.builds(
    lambda kind, year, count: DocumentNumber(
        kind=kind, year=year if kind in YEARLY else 0, count=count
    ),
    st.sampled_from(sorted(PREFIXES)),
    st.integers(1900, 2999),
    st.integers(1, 10**9 - 1),
)


@given(NUMBERS)
def test_what_is_printed_reads_back(number: DocumentNumber) -> None:
    assert parse_document_number(str(number)) == number


def test_prefixes_are_told_apart() -> None:
    assert len(set(PREFIXES.values())) == len(PREFIXES)


def test_the_first_number_of_a_year_is_one() -> None:
    assert str(following(0, kind="invoice", year=2026)) == "I-2026-0001"


def test_jobs_run_on_over_the_years() -> None:
    assert series_year("job", 2026) == 0
    assert str(following(92, kind="job", year=2027)) == "J-0093"


@given(st.integers(0, 10**6))
def test_numbers_follow_without_a_gap(last: int) -> None:
    assert following(last, kind="credit", year=2026).count == last + 1


@pytest.mark.parametrize(
    "text",
    [
        "",
        "I-0001",
        "J-2026-0001",
        "X-0001",
        "I-2026-001",
        "I-2026-00001",
        "I-٢٠٢٦-0001",
    ],
)
def test_what_no_series_prints_is_refused(text: str) -> None:
    with pytest.raises(NotANumber):
        parse_document_number(text)


def test_a_full_series_is_refused() -> None:
    with pytest.raises(OutOfRange):
        following(10**9 - 1, kind="job", year=2026)


def test_a_kind_without_a_series_is_refused() -> None:
    with pytest.raises(Unknown):
        series_year("letter", 2026)

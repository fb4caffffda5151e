"""Text that a spreadsheet shows and does not work out."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.core.errors import Refusal
from materials.core.tables.cells import (
    MOST_BYTES,
    check_bytes,
    check_width,
    guarded,
    unguarded,
    without_blanks,
)


@pytest.mark.parametrize(
    "first", ["=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠"]
)
def test_text_that_begins_like_a_formula_gets_an_apostrophe(first: str) -> None:
    assert guarded(f"{first}cmd|' /C calc'!A0") == f"'{first}cmd|' /C calc'!A0"


def test_what_hides_before_a_formula_falls_away_first() -> None:
    assert guarded("\x00=1+1") == "'=1+1"
    assert guarded("\x1b\ufffe@SUM(A1)") == "'@SUM(A1)"


@given(
    st.text(st.characters(exclude_categories=["Cc", "Cs", "Cn"]), max_size=12).map(
        lambda text: "'" * (len(text) % 3) + text
    )
)
def test_guarded_text_comes_back(text: str) -> None:
    assert unguarded(guarded(text)) == text


def test_a_quotation_at_the_head_of_a_name_stays() -> None:
    assert guarded("'t Huys grey") == "'t Huys grey"
    assert unguarded("'t Huys grey") == "'t Huys grey"


def test_blank_ends_are_cut_and_blank_rows_between_are_not() -> None:
    rows = [["a", "", " "], ["", ""], ["b"], [""], []]

    assert without_blanks(rows) == [["a"], [], ["b"]]


def test_too_wide_too_large_and_empty_are_refused() -> None:
    check_width(["x"] * 60 + [""] * 500)
    with pytest.raises(Refusal, match="more than 60 columns"):
        check_width(["x"] * 61)
    with pytest.raises(Refusal, match="larger than 5 MB"):
        check_bytes(b"x" * (MOST_BYTES + 1))
    with pytest.raises(Refusal, match="is empty"):
        check_bytes(b"")

"""What is long and still no secret."""

from __future__ import annotations

import pytest

from materials.core.passwords import (
    heart_of,
    is_a_row,
    is_said_over,
    own_part,
    words_of,
)

GOOD = "wet-saw-and-chalk-line"


@pytest.mark.parametrize(
    ("password", "found"),
    [
        ("aaaaaaaaaaaaaaaa", True),
        ("passwordpassword", True),
        ("PasswordpassworD", True),
        ("123123123123123", True),
        ("abcabcabcabcabcab", False),
        (GOOD, False),
        ("", False),
        ("a", False),
    ],
)
def test_one_thing_said_over_is_one_thing(password: str, found: bool) -> None:
    assert is_said_over(password) is found


@pytest.mark.parametrize(
    ("password", "found"),
    [
        ("abcdefghijklmno", True),
        ("zyxwvutsrqponml", True),
        ("123456789012345", True),
        ("1234-5678-9012-345", True),
        ("QWERTYUIOPASDFG", True),
        ("qwertzuiopasdfghj", True),
        ("xyzabcdefghijklm", True),
        ("abcdefghijklmn0", False),
        (GOOD, False),
        ("--", False),
    ],
)
def test_a_walk_along_the_keys_is_no_secret(password: str, found: bool) -> None:
    assert is_a_row(password) is found


@pytest.mark.parametrize(
    ("password", "heart"),
    [
        ("password1234567", "password"),
        ("2026!!Letmein!!2026", "letmein"),
        ("1234567", ""),
        ("let-me-in", "let-me-in"),
    ],
)
def test_digits_at_the_ends_hide_nothing(password: str, heart: str) -> None:
    assert heart_of(password) == heart


@pytest.mark.parametrize(
    ("password", "left"),
    [
        ("gaugerodgaugerod", 0),
        ("Fennick-and-Osei-1", 1),
        ("ada ada ada ada ada", 0),
        (GOOD, 15),
        ("fennick's blue bucket", 11),
        ("", 0),
    ],
)
def test_words_of_the_house_do_not_count(password: str, left: int) -> None:
    known = ["Gaugerod", *words_of("Fennick and Osei", "ada@tiles.example")]

    assert own_part(password, known=known) == left


def test_a_short_word_is_left_where_it_stands() -> None:
    assert own_part("a to a to a to", known=["a", "to"]) == 9

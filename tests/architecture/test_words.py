"""The catalogue of American words, held to the code and to the source language."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from babel.messages.catalog import Catalog, Message
from babel.messages.pofile import read_po
from django.utils import translation
from django.utils.translation import gettext

from gaugerod.words import LOCALE_DIR, Words, compile_catalogues, words_in_code
from tests.british_words import british_words

AMERICAN = LOCALE_DIR / "en_US" / "LC_MESSAGES" / "django.po"
PLACEHOLDER = re.compile(r"%(?:\(\w+\))?[sd]|%%")


@cache
def in_code() -> dict[Words, list[str]]:
    return words_in_code()


def forms(words: Words) -> tuple[str, ...]:
    return (words,) if isinstance(words, str) else tuple(words)


@cache
def catalogue() -> Catalog:
    with AMERICAN.open("rb") as text:
        return read_po(text, locale="en_US", abort_invalid=True)


def messages() -> Iterator[Message]:
    return (message for message in catalogue() if message.id)


def test_the_code_is_read_whole() -> None:
    found = in_code()

    assert "quotes/presenters/words.py" in found["kerb"][0].split(":")
    assert any(place.startswith("templates/") for place in found["Day sheet"])
    assert ("%(number)s product", "%(number)s products") in found
    assert "materials/starter/imperial.json" in found["Floor leveller"]


def test_every_message_of_the_catalogue_is_in_the_code() -> None:
    gone = [message.id for message in messages() if message.id not in in_code()]

    assert gone == []


def test_no_message_of_the_catalogue_is_empty_fuzzy_or_said_as_it_was() -> None:
    idle = [
        message.id
        for message in messages()
        if message.fuzzy or forms(message.string) == forms(message.id)
        or not all(forms(message.string))
    ]  # fmt: skip

    assert idle == []


def test_every_british_word_in_the_code_has_its_american_one() -> None:
    kept = catalogue()
    missing = {
        words: found
        for words in in_code()
        if (found := british_words(" ".join(forms(words)))) and words not in kept
    }

    assert missing == {}


def test_no_american_message_has_a_british_word() -> None:
    mixed = {
        message.id: found
        for message in messages()
        if (found := british_words(" ".join(forms(message.string))))
    }

    assert mixed == {}


def test_placeholders_are_those_of_the_source() -> None:
    wrong = [
        message.id
        for message in messages()
        if sorted(PLACEHOLDER.findall(" ".join(forms(message.id))))
        != sorted(PLACEHOLDER.findall(" ".join(forms(message.string))))
    ]

    assert wrong == []


def test_the_source_language_says_every_message_as_it_is_written() -> None:
    with translation.override("en-gb"):
        changed = {
            words: gettext(words)
            for words in in_code()
            if isinstance(words, str) and gettext(words) != words
        }

    assert changed == {}


def test_the_american_language_says_every_message_as_its_catalogue_does() -> None:
    said = {message.id: message.string for message in messages()}
    with translation.override("en-us"):
        changed = {
            words: gettext(words)
            for words in in_code()
            if isinstance(words, str) and gettext(words) != said.get(words, words)
        }

    assert changed == {}


@pytest.mark.parametrize("language", ["en-gb", "en-us"])
def test_the_framework_speaks_english_in_both(language: str) -> None:
    with translation.override(language):
        assert gettext("This field is required.") == "This field is required."
        assert gettext("Enter a valid email address.") == "Enter a valid email address."


def test_a_catalogue_is_compiled_when_it_is_newer_and_only_then(tmp_path: Path) -> None:
    folder = tmp_path / "en_US" / "LC_MESSAGES"
    folder.mkdir(parents=True)
    source = folder / "django.po"
    source.write_bytes(AMERICAN.read_bytes())

    assert compile_catalogues(tmp_path) == [folder / "django.mo"]
    assert compile_catalogues(tmp_path) == []
    assert [place.name for place in sorted(folder.iterdir())] == [
        "django.mo",
        "django.po",
    ]

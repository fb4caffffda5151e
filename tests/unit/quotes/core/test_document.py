from __future__ import annotations

import json
from dataclasses import replace

import pytest

from materials.core.errors import Refusal
from quotes.core import document
from tests import builders
from tests.priced import priced_visit, quoted

QUOTES = {
    "shower": quoted(builders.a_shower()),
    "hall": quoted(builders.a_hall()),
    "kitchen": quoted(builders.a_kitchen_wall()),
}


@pytest.mark.parametrize("name", QUOTES)
def test_a_stored_quote_is_read_back_equal(name):
    quote = QUOTES[name]
    stored = json.loads(json.dumps(document.to_json(quote)))

    assert document.from_json(stored) == quote
    assert document.digest(document.from_json(stored)) == document.digest(quote)


def test_any_change_of_the_quote_changes_its_digest():
    quote = QUOTES["hall"]
    totals = quote.option().totals
    other = replace(totals, gross=totals.gross + totals.tax)

    changed = replace(quote, options=(replace(quote.options[0], totals=other),))

    assert document.digest(changed) != document.digest(quote)
    assert document.digest(replace(quote, terms=("x",))) != document.digest(quote)


@pytest.mark.parametrize("name", QUOTES)
def test_the_client_sees_no_cost_no_hours_and_no_margin(name):
    quote = QUOTES[name]
    view = document.client_view(quote)

    text = json.dumps(document.to_json(view))

    for word in ("cost", "hours", "margin", "profit", "working", "material:", "wage"):
        assert f'"{word}' not in text
    assert view.options[0].gross == quote.option().totals.gross
    assert sum(line.price.amount for line in view.options[0].offered) == (
        quote.option().totals.net.amount
    )


def test_a_quote_of_another_format_is_refused():
    stored = {**document.to_json(QUOTES["hall"]), "format": "other"}

    with pytest.raises(Refusal, match="other"):
        document.from_json(stored)


def test_an_option_and_a_line_are_found_by_key():
    quote = QUOTES["hall"]

    assert quote.option("A") is quote.options[0]
    assert quote.option().line("overhead").cost_class == "overhead"
    with pytest.raises(Refusal):
        quote.option("Z")
    with pytest.raises(Refusal):
        quote.option().line("nothing")


def test_canonical_json_has_one_spelling():
    assert document.canonical({"b": 1, "a": "é"}) == '{"a":"é","b":1}'.encode()


def test_priced_visits_of_the_tests_are_whole():
    assert priced_visit(builders.a_hall()).option.lines

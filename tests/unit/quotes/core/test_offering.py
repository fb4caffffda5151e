from __future__ import annotations

import json
from datetime import date
from fractions import Fraction

from quotes.core import document
from quotes.core.cautions import for_client, for_shop
from quotes.core.document import Party
from quotes.core.offering import Heading, estimate_json, quote_of
from tests import builders
from tests.priced import ON, priced_visit


def test_a_quote_carries_the_words_of_its_visit():
    found = priced_visit(builders.a_shower())

    quote = quote_of(found)

    assert quote.client == Party(name="Mrs Okafor", lines=())
    assert quote.site == ("14 Elm Row", "Saltmarsh")
    assert quote.scope == ("Board, seal and tile the shower recess.",)
    assert quote.exclusions == ("Plumbing and glass by others.",)
    assert quote.holds_until == date(2026, 7, 31)
    assert quote.priced_on == ON
    assert quote.tax_name == "Sales tax"
    assert quote.cautions == for_client(found.cautions)


def test_the_heading_stands_over_it_and_the_offer_holds_from_its_day():
    heading = Heading(
        business=Party(name="Rill & Co"),
        number="Q2026-0007",
        revision="B",
        offered_on=date(2026, 7, 10),
        program_version="9.9",
    )

    quote = quote_of(priced_visit(builders.a_hall()), heading)

    assert (quote.number, quote.revision) == ("Q2026-0007", "B")
    assert quote.business.name == "Rill & Co"
    assert quote.holds_until == date(2026, 8, 9)
    assert quote.program_version == "9.9"


def test_without_words_the_scope_is_what_is_offered_and_where():
    file = builders.a_hall()
    del file["terms"]["scope"]

    scope = quote_of(priced_visit(file)).scope

    assert "Tile, set and grouted" in scope[0]
    assert scope[1] == "Hall: floor."


def test_the_places_are_named_by_space_and_walls_share_their_word():
    file = builders.a_shower()
    del file["terms"]["scope"]

    scope = quote_of(priced_visit(file)).scope

    assert scope[1] == "Shower: floor, back, left and right wall."


def test_what_only_the_setter_can_put_right_is_not_in_the_quote():
    file = builders.a_shower()
    file["site"]["access"]["turning"] = "20"
    found = priced_visit(file)

    quote = quote_of(found)

    notes = for_shop(found.cautions)
    assert any("does not turn in" in note for note in notes)
    assert not set(notes) & set(quote.cautions)
    assert any("silica dust" in sentence for sentence in quote.cautions)


def test_stopped_work_stands_among_the_exclusions():
    file = builders.a_kitchen_wall(
        labour=[{"operation": "strip_board", "quantity": "4"}]
    )

    exclusions = quote_of(priced_visit(file)).exclusions

    assert "asbestos" in exclusions[-1]


def test_an_estimate_as_json_holds_needs_quote_and_digest():
    found = priced_visit(builders.a_hall())
    quote = quote_of(found)

    plain = json.loads(json.dumps(estimate_json(found, quote)))

    assert plain["format"] == "gaugerod-estimate-1"
    assert plain["digest"] == document.digest(quote)
    assert document.from_json(plain["quote"]) == quote
    assert [need["material"] for need in plain["needs"]] == [
        need.material for need in found.takeoff.needs
    ]
    for plain_need, need in zip(plain["needs"], found.takeoff.needs, strict=True):
        assert Fraction(plain_need["quantity"]) == need.quantity
        assert plain_need["working"]

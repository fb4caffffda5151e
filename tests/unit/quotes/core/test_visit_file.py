"""A visit file read whole; what it does not know or cannot mean is refused by place."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from materials.core.errors import (
    MixedCurrencies,
    NotALength,
    NotANumber,
    OutOfRange,
    Refusal,
    Unknown,
)
from materials.core.lengths import Length
from quotes.core.errors import WrongFile
from quotes.core.layout.orders import ASSUMED
from quotes.core.visit_file import parse_visit, read_visit
from quotes.core.visit_writer import written_visit
from tests.builders import a_bare_visit, a_hall, a_kitchen_wall, a_shower, a_surface

SCHEMA = json.loads(
    (Path(__file__).parents[4] / "quotes/core/visit_schema.json").read_text("utf-8")
)


def changed(document: dict[str, Any], path: str, value: Any) -> dict[str, Any]:
    """Return the document with one place changed: keys and numbers joined by dots."""
    *steps, last = path.split(".")
    here: Any = document
    for step in steps:
        here = here[int(step)] if isinstance(here, list) else here[step]
    if isinstance(here, list):
        here[int(last)] = value
    else:
        here[last] = value
    return document


@pytest.mark.parametrize("build", [a_shower, a_hall, a_kitchen_wall, a_bare_visit])
def test_a_whole_visit_is_read_and_keeps_to_the_published_form(build: Any) -> None:
    document = build()

    jsonschema.Draft202012Validator(SCHEMA).validate(document)
    visit = read_visit(document)

    assert visit.title == document["title"]
    assert len(visit.spaces) == len(document["spaces"])


def test_the_published_form_is_itself_in_order_and_closed_everywhere() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    open_objects: list[str] = []

    def look(node: Any, path: str) -> None:
        if isinstance(node, dict):
            if node.get("type") == "object" and "additionalProperties" not in node:
                open_objects.append(path)
            for key, inner in node.items():
                look(inner, f"{path}/{key}")
        elif isinstance(node, list):
            for place, inner in enumerate(node):
                look(inner, f"{path}/{place}")

    look(SCHEMA, "")

    assert open_objects == []


def test_what_was_typed_is_kept_beside_what_it_means() -> None:
    width = read_visit(a_hall()).spaces[0].surfaces[0].shape.sizes["width"]

    assert (width.text, width.length) == ("4.86 m", Length.mm(4860))


def test_a_bare_number_is_in_the_file_s_unit() -> None:
    metric = read_visit(a_bare_visit(a_surface()))
    shape = {"kind": "rectangle", "width": "96", "height": "2000 mm"}
    inches = read_visit(a_bare_visit(a_surface(shape=shape), unit="in"))

    assert metric.spaces[0].surfaces[0].shape.sizes["width"].length == Length.mm(3000)
    sizes = inches.spaces[0].surfaces[0].shape.sizes
    assert sizes["width"].length == Length.inch(96)
    assert sizes["height"].length == Length.mm(2000)


WIDTH = "spaces.0.surfaces.0.shape.width"

REFUSALS = [
    ("format", "other", WrongFile, "format"),
    ("version", 2, WrongFile, "version"),
    ("unit", "cm", Unknown, "unit"),
    ("currency", "XXQ", Unknown, "currency"),
    ("currency", None, WrongFile, "currency"),
    ("measured_on", "4 March", WrongFile, "measured_on"),
    ("measured_on", "2026-02-30", WrongFile, "measured_on"),
    ("measured_on", "٢٠٢٦-٠٣-٠٤", WrongFile, "measured_on"),
    ("title", "  ", WrongFile, "title"),
    ("colour", "blue", WrongFile, "colour"),
    ("spaces", {}, WrongFile, "spaces"),
    ("site", {"storey": 900}, OutOfRange, "site.storey"),
    ("site", {"access": {"width": "0"}}, OutOfRange, "site.access.width"),
    (WIDTH, "0", OutOfRange, "spaces[0].surfaces[0].shape.width"),
    (WIDTH, "-3000", OutOfRange, "spaces[0].surfaces[0].shape.width"),
    (WIDTH, "900 ft", OutOfRange, "spaces[0].surfaces[0].shape.width"),
    (WIDTH, "NaN", NotALength, "spaces[0].surfaces[0].shape.width"),
    (WIDTH, "inf", NotALength, "spaces[0].surfaces[0].shape.width"),
    (WIDTH, "١٢٠", NotALength, "spaces[0].surfaces[0].shape.width"),
    (WIDTH, "9" * 40, NotALength, "spaces[0].surfaces[0].shape.width"),
    (WIDTH, 10**40, NotALength, "spaces[0].surfaces[0].shape.width"),
    (WIDTH, 12.5, WrongFile, "spaces[0].surfaces[0].shape.width"),
    (WIDTH, True, WrongFile, "spaces[0].surfaces[0].shape.width"),
    (WIDTH, None, WrongFile, "spaces[0].surfaces[0].shape.width"),
]


@pytest.mark.parametrize(("path", "value", "error", "field"), REFUSALS)
def test_what_cannot_be_is_refused_by_its_place(
    path: str, value: Any, error: type[Refusal], field: str
) -> None:
    document = changed(a_bare_visit(a_surface()), path, value)

    with pytest.raises(error) as caught:
        read_visit(document)

    assert caught.value.field == field
    assert caught.value.sentence.endswith((".", "!"))


def test_a_wall_stops_at_200_ft_and_a_hall_floor_at_500() -> None:
    shape = {"kind": "rectangle", "width": "250 ft", "height": "3000"}

    floor = read_visit(a_bare_visit(a_surface(shape=shape), unit="in"))

    assert floor.spaces[0].surfaces[0].shape.sizes["width"].length == Length.inch(3000)
    with pytest.raises(OutOfRange, match="200 ft"):
        read_visit(a_bare_visit(a_surface(role="wall", shape=shape), unit="in"))
    with pytest.raises(OutOfRange, match="60 m"):
        read_visit(a_bare_visit(a_surface(role="wall", shape=shape)))


def test_an_id_that_stands_twice_is_refused() -> None:
    with pytest.raises(WrongFile, match=r"already stands at spaces\[0\].surfaces\[0\]"):
        read_visit(a_bare_visit(a_surface("a"), a_surface("a")))


def test_a_mix_of_currencies_is_refused_in_the_list_and_in_a_price() -> None:
    whole = changed(a_hall(), "price_list.currency", "EUR")
    single = changed(
        a_hall(), "price_list.materials.0.packs.0.prices.0.currency", "EUR"
    )

    for document in (whole, single):
        with pytest.raises(MixedCurrencies, match="EUR"):
            read_visit(document)


def test_a_text_is_read_by_its_digits_and_never_through_a_float() -> None:
    text = json.dumps(a_bare_visit(a_surface())).replace('"3000"', "3000.1")

    width = parse_visit(text).spaces[0].surfaces[0].shape.sizes["width"]

    assert width.length == Length.mm("3000.1")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("{", "no JSON"),
        ("[]", "one object"),
        ('{"format": NaN}', "NaN"),
        ('{"format": 1' + "0" * 30 + "}", "too many digits"),
        ('{"id": "a", "id": "b"}', "twice"),
        ("[" * 100_000, "nested"),
    ],
)
def test_a_text_that_is_no_visit_is_refused(text: str, words: str) -> None:
    with pytest.raises(WrongFile, match=words):
        parse_visit(text)


def test_numbers_of_other_scripts_are_refused_everywhere() -> None:
    document = changed(a_hall(), "price_list.materials.0.packs.0.prices.0.amount", "١٢")

    with pytest.raises(NotANumber) as caught:
        read_visit(document)

    assert caught.value.field == "price_list.materials[0].packs[0].prices[0].amount"


@pytest.mark.parametrize("build", [a_shower, a_hall])
def test_reader_and_published_form_know_the_same_fields(build: Any) -> None:
    """Each object of a whole visit refuses one more field, in both alike."""
    places = []

    def look(node: Any, path: list[Any]) -> None:
        if isinstance(node, dict):
            places.append(path)
            for key, inner in node.items():
                look(inner, [*path, key])
        elif isinstance(node, list):
            for place, inner in enumerate(node):
                look(inner, [*path, place])

    look(build(), [])
    validator = jsonschema.Draft202012Validator(SCHEMA)
    for path in places:
        if path and path[-1] in ("build_ups", "facts"):
            continue
        document = build()
        here: Any = document
        for step in path:
            here = here[step]
        here["surprise"] = "?"
        assert not validator.is_valid(document), path
        with pytest.raises(Refusal):
            read_visit(document)


def test_how_tile_is_ordered_is_read_and_written() -> None:
    own = {"certainty": "0.9", "saved_of_eight": 7, "broken_cut": "2 %"}
    visit = read_visit(a_bare_visit(ordering=own))

    assert visit.ordering.certainty == Fraction(9, 10)
    assert (visit.ordering.habits.saved, visit.ordering.habits.not_saved) == (7, 1)
    assert visit.ordering.habits.broken_a_cut == Fraction(1, 50)
    assert visit.ordering.habits.broken_a_whole == ASSUMED.habits.broken_a_whole
    assert read_visit(written_visit(visit)) == visit
    assert "ordering" not in written_visit(read_visit(a_bare_visit()))


@pytest.mark.parametrize(
    ("own", "path"),
    [
        ({"certainty": "1"}, "ordering.certainty"),
        ({"certainty": "0.4"}, "ordering.certainty"),
        ({"saved_of_eight": 8}, "ordering.saved_of_eight"),
        ({"broken_cut": "101 %"}, "ordering.broken_cut"),
        ({"luck": "1"}, "ordering.luck"),
    ],
)
def test_an_order_that_cannot_be_is_refused(own: dict[str, object], path: str) -> None:
    with pytest.raises(Refusal) as caught:
        read_visit(a_bare_visit(ordering=own))

    assert caught.value.field == path

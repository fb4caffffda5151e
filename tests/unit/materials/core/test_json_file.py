from __future__ import annotations

from fractions import Fraction

import pytest

from materials.core.errors import Refusal
from materials.core.json_file import check_schema, exact_number, parsed_object

SCHEMA = {
    "type": "object",
    "properties": {"a": {"type": "integer", "minimum": 1}, "b": {"enum": ["x", "y"]}},
    "required": ["a"],
    "additionalProperties": False,
}


def test_numbers_come_from_their_text() -> None:
    assert parsed_object('{"a": 0.1, "b": [1, 2.50, 1e-3]}') == {
        "a": Fraction(1, 10),
        "b": [1, Fraction(5, 2), Fraction(1, 1000)],
    }


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("", "not JSON: line 1, column 1"),
        ("[1]", "one JSON object"),
        ('{"a": NaN}', "not a number"),
        ('{"a": -Infinity}', "not a number"),
        ('{"a": 1, "a": 2}', "stands twice"),
        ('{"a": 1e999}', "too many digits"),
        ('{"a": ' + "9" * 40 + "}", "too many digits"),
        ('{"a": 0.' + "1" * 40 + "}", "too many digits"),
        ('{"a": ' + "[" * 100_000, "nested too deeply"),
    ],
    ids=lambda value: value[:20],
)
def test_what_is_no_exact_object_is_refused(text: str, word: str) -> None:
    with pytest.raises(Refusal, match=word):
        parsed_object(text)


@pytest.mark.parametrize("number", ["NaN", "1e999", "9" * 17, "0." + "1" * 16])
def test_a_number_that_cannot_be_taken_names_its_key(number: str) -> None:
    with pytest.raises(Refusal) as caught:
        parsed_object('{"b": [{"c": 1}, {"a": [0, ' + number + "]}]}")

    assert caught.value.field == "b[1].a[1]"


def test_a_file_nested_just_so_deep_is_read_or_refused() -> None:
    said = set()
    for depth in range(900, 1100):
        try:
            parsed_object('{"a": ' + "[" * depth + "]" * depth + "}")
        except Refusal as refusal:
            said.add(str(refusal))

    assert said == {"The file is nested too deeply."}


def test_a_number_may_be_a_text_and_names_its_key_when_it_is_none() -> None:
    assert exact_number("12 1/2", field="a") == Fraction(25, 2)
    assert exact_number(Fraction(1, 3), field="a") == Fraction(1, 3)
    with pytest.raises(Refusal, match="not a number") as caught:
        exact_number("٣", field="pans[0].width")
    assert caught.value.field == "pans[0].width"


@pytest.mark.parametrize(
    ("data", "field", "sentence"),
    [
        ({}, "a", "This key is missing; add it."),
        ({"a": 1, "c": 2}, "c", "No such key; known are a, b."),
        ({"a": 0}, "a", "0 cannot be used; enter 1 or more."),
        ({"a": "x"}, "a", '"x" cannot be used; write integer.'),
        ({"a": 1, "b": "z"}, "b", '"z" cannot be used; write one of x or y.'),
    ],
)
def test_a_schema_error_is_a_sentence_with_its_key(
    data: dict[str, object], field: str, sentence: str
) -> None:
    with pytest.raises(Refusal) as caught:
        check_schema(data, SCHEMA)

    assert (caught.value.field, caught.value.sentence) == (field, sentence)

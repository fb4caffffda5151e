"""The published schema takes what the reader takes."""

from __future__ import annotations

import json

import pytest
from jsonschema import Draft202012Validator

from quotes.core.layout.schema import ANSWER_SCHEMA, SCHEMA
from quotes.core.patterns import PATTERNS
from tests.unit.quotes.core.layout.test_file import GOOD, changed

SCHEMA_TAKES = Draft202012Validator(SCHEMA)


def test_both_schemas_are_schemas() -> None:
    Draft202012Validator.check_schema(SCHEMA)
    Draft202012Validator.check_schema(ANSWER_SCHEMA)


def test_a_good_file_is_taken() -> None:
    SCHEMA_TAKES.validate(GOOD)


@pytest.mark.parametrize(
    ("path", "value"),
    [
        ("unit", "cm"), ("surfaces", []), ("tile/module", 3), ("pattern/n", 2),
        ("pattern/offset", ...), ("directional", 1), ("more", 1), ("origin", "middle"),
    ],
)  # fmt: skip
def test_what_the_reader_refuses_by_its_shape_the_schema_refuses(
    path: str, value: object
) -> None:
    assert not SCHEMA_TAKES.is_valid(json.loads(changed(path, value)))


def test_every_pattern_has_its_case() -> None:
    names = [
        case["properties"]["pattern"]["properties"]["name"] for case in SCHEMA["oneOf"]
    ]

    assert [name["const"] for name in names] == [pattern.key for pattern in PATTERNS]

"""The schema is one itself, and takes what the reader takes."""

from __future__ import annotations

from jsonschema import Draft202012Validator

from materials.core.cutting.cut_schema import SCHEMA


def test_the_schema_is_valid_and_tells_sheets_from_lengths() -> None:
    Draft202012Validator.check_schema(SCHEMA)
    rows = [{"name": "a", "length": "3"}]
    job = {"unit": "mm", "bin": "length", "stock": rows, "pieces": rows}

    assert Draft202012Validator(SCHEMA).is_valid(job)
    assert not Draft202012Validator(SCHEMA).is_valid({**job, "bin": "sheet"})

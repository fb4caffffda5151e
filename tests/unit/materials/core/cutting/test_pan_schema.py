from __future__ import annotations

from typing import Any

import pytest
from jsonschema import Draft202012Validator

from materials.core.cutting.pan_schema import SCHEMA
from materials.core.errors import Refusal
from materials.core.json_file import check_schema

SMALLEST: dict[str, Any] = {
    "unit": "in",
    "recess": [[0, 0], [38, 0], [38, 35]],
    "drain": {"kind": "linear", "side": 0, "length": 38},
}


def test_the_schema_is_one() -> None:
    Draft202012Validator.check_schema(SCHEMA)
    check_schema(SMALLEST, SCHEMA)


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"unit": "cm"}, "unit"),
        ({"recess": [[0, 0], [1, 0]]}, "recess"),
        ({"recess": [[0, 0], [1, 0], [1]]}, "recess[2]"),
        ({"drain": {"kind": "round"}}, "drain.kind"),
        ({"drain": {"kind": "point"}}, "drain.at"),
        ({"drain": {"kind": "point", "at": [1, 2], "side": 1}}, "drain.side"),
        ({"slope": {"min": "1/48"}}, "slope.max"),
        ({"run": "valley"}, "run"),
        ({"pans": [{"name": "A"}]}, "pans[0].width"),
        ({"pans": [{"name": "A", "colour": 1}]}, "pans[0]"),
        ({"gradient": 1}, "gradient"),
        ({"lowest": True}, "lowest"),
        ({"mortar": {"prise": 1}}, "mortar.prise"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_what_the_schema_does_not_know_is_refused_by_key(
    changes: dict[str, Any], field: str
) -> None:
    with pytest.raises(Refusal) as caught:
        check_schema({**SMALLEST, **changes}, SCHEMA)

    assert caught.value.field.startswith(field)

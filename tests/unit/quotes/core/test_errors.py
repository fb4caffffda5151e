"""The refusals of the middle app belong to the one tree."""

from __future__ import annotations

import pytest

from materials.core.errors import Refusal
from quotes.core import errors


@pytest.mark.parametrize(
    "kind", [errors.WrongFile, errors.WrongSurface, errors.NoBuildUp]
)
def test_each_refusal_has_a_code_and_a_place(kind: type[Refusal]) -> None:
    refusal = kind("It cannot be.", field="edges[0]").at("spaces[1]")

    assert isinstance(refusal, errors.QuoteRefusal)
    assert refusal.code != Refusal.code
    assert refusal.field == "spaces[1].edges[0]"

"""Refusals: one tree, a sentence for people, a code for machines, a field."""

from __future__ import annotations

import pytest

from materials.core import errors
from materials.core.errors import NotALength, Refusal

REFUSALS = sorted(
    (
        value
        for value in vars(errors).values()
        if isinstance(value, type) and issubclass(value, Refusal)
    ),
    key=lambda kind: kind.__name__,
)


@pytest.mark.parametrize("kind", REFUSALS)
def test_a_refusal_carries_its_sentence_field_and_code(kind: type[Refusal]) -> None:
    refusal = kind("That is wrong; write it right.", field="wall.width")

    assert str(refusal) == refusal.sentence == "That is wrong; write it right."
    assert refusal.field == "wall.width"
    assert refusal.code.isidentifier()
    assert isinstance(refusal, ValueError)


def test_every_code_is_its_own() -> None:
    assert len({kind.code for kind in REFUSALS}) == len(REFUSALS) >= 8


def test_the_tree_in_the_docstring_names_every_refusal() -> None:
    assert errors.__doc__ is not None
    assert [
        kind.__name__ for kind in REFUSALS if kind.__name__ not in errors.__doc__
    ] == []


def test_a_refusal_learns_its_place_from_the_inside_out() -> None:
    placed = NotALength("No length was typed.").at("width").at("walls[2]")

    assert type(placed) is NotALength
    assert placed.field == "walls[2].width"
    assert placed.sentence == "No length was typed."

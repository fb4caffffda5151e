"""Facts of a product read by its kind: exact, checked, refused by name."""

from __future__ import annotations

from fractions import Fraction

import pytest

from materials.core.errors import NotALength, NotANumber, OutOfRange, Unknown
from materials.core.kind import PARAMETER_TYPES, Parameter, read_facts, read_share
from materials.core.kinds import BY_KEY, KINDS, kind_of
from materials.core.lengths import Length

BOARD = {"width": "36", "length": "60", "thickness": "1/2"}


def test_facts_are_read_in_the_home_unit_with_their_defaults() -> None:
    facts = read_facts(kind_of("backer_board"), BOARD, system="imperial")

    assert facts["width"] == Length.inch(36)
    assert facts["thickness"] == Length.inch("1/2")
    assert facts["core"] == "cement"
    assert facts["waterproof_face"] is False
    assert "mass" not in facts


def test_numbers_take_the_unit_that_is_printed() -> None:
    facts = read_facts(
        kind_of("mortar"),
        {"coverage_area": "95 sq ft", "coverage_of": "50 lb", "loss": "5 %"},
        system="imperial",
    )

    assert facts["coverage_area"] == 95 * Fraction("0.09290304")
    assert facts["coverage_of"] == Fraction("22.6796185")
    assert facts["loss"] == Fraction(1, 20)


@pytest.mark.parametrize(
    ("kind", "facts", "error", "field"),
    [
        ("backer_board", {**BOARD, "colour": "red"}, Unknown, "colour"),
        ("backer_board", {"width": "36", "length": "60"}, OutOfRange, "thickness"),
        ("backer_board", {**BOARD, "width": "wide"}, NotALength, "width"),
        ("backer_board", {**BOARD, "width": "0"}, OutOfRange, "width"),
        ("backer_board", {**BOARD, "core": "paper"}, Unknown, "core"),
        ("backer_board", {**BOARD, "waterproof_face": "maybe"}, Unknown,
         "waterproof_face"),
        ("backer_board", {**BOARD, "width": True}, NotANumber, "width"),
        ("grout", {"density": "NaN"}, NotANumber, "density"),
        ("grout", {"density": "0"}, OutOfRange, "density"),
        ("grout", {"density": "٢"}, NotANumber, "density"),
        ("grout", {"loss": "130 %"}, OutOfRange, "loss"),
        ("grout", {"colour": "x" * 201}, OutOfRange, "colour"),
        ("membrane", {"form": "liquid", "coats": "1.5"}, OutOfRange, "coats"),
    ],
)  # fmt: skip
def test_a_fact_that_cannot_be_is_refused_by_name(
    kind: str, facts: dict[str, object], error: type[Exception], field: str
) -> None:
    with pytest.raises(error) as caught:
        read_facts(kind_of(kind), facts, system="imperial")

    assert caught.value.field == field  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("text", "value"), [("0.2", "1/5"), ("20 %", "1/5"), ("1/3", "1/3"), ("0", "0")]
)
def test_a_share_is_read_as_a_decimal_a_fraction_or_a_percentage(
    text: str, value: str
) -> None:
    assert read_share(text) == Fraction(value)


def test_the_keys_of_the_kinds_never_change() -> None:
    assert list(BY_KEY) == [
        "backer_board", "fixing", "foam_pan", "grout", "linear_drain", "membrane",
        "mortar", "profile", "sealant", "tile",
    ]  # fmt: skip


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.key)
def test_every_kind_is_complete_and_its_parameters_can_be_read(kind: object) -> None:
    parameters: tuple[Parameter, ...] = kind.parameters  # type: ignore[attr-defined]

    names = [parameter.name for parameter in parameters]
    assert len(set(names)) == len(names)
    for parameter in parameters:
        assert parameter.label
        assert parameter.type in PARAMETER_TYPES
        assert bool(parameter.choices) == (parameter.type == "choice")


def test_a_kind_nobody_registered_is_refused_with_those_there_are() -> None:
    with pytest.raises(Unknown, match="backer_board"):
        kind_of("wallpaper")

"""One place of a file: what it reads, and how it names itself when it refuses."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest
from moneyed import Money

from materials.core.errors import OutOfRange, Refusal, Unknown
from materials.core.lengths import Length
from quotes.core.errors import WrongFile
from quotes.core.file_node import (
    FLOOR_LIMIT,
    WALL_LIMIT,
    FileRules,
    Node,
    limit_for,
    signed_length,
    system_of_unit,
)


def a_node(**value: object) -> Node:
    return Node(
        value=value, path="site", rules=FileRules(system="metric", currency="GBP")
    )


def test_each_sort_of_value_is_read() -> None:
    node = a_node(
        word="tile", size="12.5", n=3, half="1/2", share="20 %", day="2026-03-04",
        price="9.50", yes=True,
    )  # fmt: skip

    assert node.text("word") == "tile"
    assert node.length("size").length == Length.mm("12.5")
    assert node.count("n", 0, least=0, most=9) == 3
    assert node.number("half", Fraction(1)) == Fraction(1, 2)
    assert node.share("share", Fraction(0)) == Fraction(1, 5)
    assert node.day("day") == date(2026, 3, 4)
    assert node.money("price") == Money("9.50", "GBP")
    assert node.yes("yes", default=False)


def test_what_is_absent_is_its_default() -> None:
    node = a_node()

    assert node.text("word", "none") == "none"
    assert node.maybe_length("size") is None
    assert node.maybe_money("price") is None
    assert node.items("list", most=3) == []
    assert list(node.children("list", most=3)) == []


def test_the_path_is_dotted_and_counts_lists() -> None:
    node = a_node(list=[{}, {}])

    assert [child.path for child in node.children("list", most=5)] == [
        "site.list[0]",
        "site.list[1]",
    ]
    assert node.child("access").at("width") == "site.access.width"


@pytest.mark.parametrize(
    ("reading", "error"),
    [
        (lambda node: node.only("a"), WrongFile),
        (lambda node: node.demand("zeta"), WrongFile),
        (lambda node: node.text("n"), WrongFile),
        (lambda node: node.text("long"), WrongFile),
        (lambda node: node.name_text("blank"), WrongFile),
        (lambda node: node.choice("word", ("a", "b"), "a"), Unknown),
        (lambda node: node.yes("word", default=True), WrongFile),
        (lambda node: node.count("n", 0, least=0, most=2), OutOfRange),
        (lambda node: node.count("word", 0, least=0, most=2), WrongFile),
        (lambda node: node.number("n0", Fraction(1)), OutOfRange),
        (lambda node: node.share("n", Fraction(0)), OutOfRange),
        (lambda node: node.items("word", most=3), WrongFile),
        (lambda node: node.items("list", most=1), OutOfRange),
        (lambda node: list(node.children("list", most=9)), WrongFile),
        (lambda node: node.child("word"), WrongFile),
        (lambda node: node.point("n", limit=Length.mm(9)), WrongFile),
        (lambda node: node.point("far", limit=Length.mm(9)), OutOfRange),
    ],
)
def test_what_does_not_belong_is_refused_with_its_path(
    reading: object, error: type[Refusal]
) -> None:
    node = a_node(
        word="tile", n=3, n0="0", blank=" ", long="x" * 201, list=[1, 2],
        far=["0", "-10"],
    )  # fmt: skip

    with pytest.raises(error) as caught:
        reading(node)  # type: ignore[operator]

    assert caught.value.field.startswith("site.")


def test_a_floor_may_be_longer_than_a_wall() -> None:
    assert limit_for("floor", "metric") == FLOOR_LIMIT["metric"] == Length.mm(150_000)
    assert limit_for("wall", "imperial") == WALL_LIMIT["imperial"] == Length.inch(2400)


def test_the_unit_decides_the_system() -> None:
    assert system_of_unit("in") == "imperial"
    assert system_of_unit("mm") == "metric"
    with pytest.raises(Unknown):
        system_of_unit(None)


@pytest.mark.parametrize(("text", "size"), [("-3", -3), ("−3", -3), ("3", 3)])
def test_a_minus_is_read_where_a_place_may_be_below_nothing(
    text: str, size: int
) -> None:
    assert signed_length(text, "metric") == Length.mm(1) * size

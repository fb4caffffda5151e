from __future__ import annotations

from fractions import Fraction

import pytest
from moneyed import Money

from materials.core import amounts
from materials.core.errors import Refusal
from materials.core.need import PackFacts
from quotes.core.choices import Overrule
from quotes.core.document import Line, Overruled
from quotes.core.overrules import Overrules

BAG = PackFacts(key="GR/1", label="5 kg bag", content=Fraction(5), price=126_000)
TUB = PackFacts(
    key="GR/2",
    label="2 kg tub",
    content=Fraction(2),
    price=72_000,
    breaks=((3, 60_000),),
)


def _overrules(what, value, *, line="material:GR", reason="I know the wall"):
    return Overrules([Overrule(line=line, what=what, value=value, reason=reason)])


def test_a_quantity_is_read_exactly():
    overrules = _overrules("quantity", "12 1/2")

    assert overrules.number("material:GR", "quantity", most=100) == Fraction(25, 2)
    assert overrules.number("material:XX", "quantity", most=100) is None


@pytest.mark.parametrize("value", ["-1", "many", "101", "1e3", "١٢", ""])
def test_a_figure_that_is_none_is_refused_with_its_place(value):
    with pytest.raises(Refusal) as caught:
        _overrules("quantity", value).number("material:GR", "quantity", most=100)

    assert caught.value.field == "overrules[0].value"


def test_nothing_is_a_figure_too():
    settled, note = _overrules("cost", "0").settled(
        "material:GR", "cost", Money("12.60", "GBP")
    )

    assert settled == amounts.zero("GBP")
    assert note == (
        Overruled(what="cost", computed="12.60", owner="0", reason="I know the wall"),
    )


@pytest.mark.parametrize("value", ["-1", "1.999", "12,50", "ten"])
def test_money_that_is_none_is_refused_with_its_place(value):
    with pytest.raises(Refusal) as caught:
        _overrules("price", value).settled("material:GR", "price", Money("1.00", "GBP"))

    assert caught.value.field == "overrules[0].value"


@pytest.mark.parametrize(
    ("value", "counts"),
    [
        ("2 5 kg bag", [("GR/1", 2)]),
        ("2 x GR/1", [("GR/1", 2)]),
        ("1 5 kg bag + 2 2 kg tub", [("GR/1", 1), ("GR/2", 2)]),
    ],
)
def test_packs_are_named_by_label_or_key(value, counts):
    found = _overrules("packs", value).packs("material:GR", {"GR/1": BAG, "GR/2": TUB})

    assert [(one.pack.key, one.count) for one in found] == counts


def test_a_single_pack_needs_no_name_and_takes_its_price_break():
    (found,) = _overrules("packs", "3").packs("material:GR", {"GR/2": TUB})

    assert (found.count, found.price) == (3, 60_000)


@pytest.mark.parametrize("value", ["bag", "2 crates", "2", "", "99999999 5 kg bag"])
def test_packs_that_are_none_are_refused_with_their_place(value):
    with pytest.raises(Refusal) as caught:
        _overrules("packs", value).packs("material:GR", {"GR/1": BAG, "GR/2": TUB})

    assert caught.value.field == "overrules[0].value"


@pytest.mark.parametrize(
    ("overrule", "field"),
    [
        (Overrule(line="a", what="colour", value="1", reason="x"), "overrules[0].what"),
        (Overrule(line="a", what="cost", value="1", reason=" "), "overrules[0].reason"),
    ],
)
def test_an_overrule_that_is_none_is_refused(overrule, field):
    with pytest.raises(Refusal) as caught:
        Overrules([overrule])

    assert caught.value.field == field


def test_one_figure_is_overruled_once():
    one = Overrule(line="a", what="cost", value="1", reason="x")

    with pytest.raises(Refusal, match="twice"):
        Overrules([one, one])


def _line(key, overruled=()):
    return Line(
        key=key,
        cost_class="labour",
        text=key,
        section="tile",
        cost=Money("1", "GBP"),
        price=Money("1", "GBP"),
        overruled=overruled,
    )


def test_an_overrule_of_no_line_is_refused_with_the_lines_there_are():
    with pytest.raises(Refusal, match="labour:set_out") as caught:
        _overrules("cost", "1", line="labour:dig").check_used([_line("labour:set_out")])

    assert caught.value.field == "overrules[0].line"


def test_an_overrule_of_a_figure_the_line_lacks_is_refused():
    with pytest.raises(Refusal, match="no packs"):
        _overrules("packs", "1", line="labour:set_out").check_used(
            [_line("labour:set_out")]
        )


def test_an_overrule_that_was_taken_passes():
    overrules = _overrules("cost", "1", line="labour:set_out")
    note = overrules.note("labour:set_out", "cost", "2.00")

    overrules.check_used([_line("labour:set_out", note)])

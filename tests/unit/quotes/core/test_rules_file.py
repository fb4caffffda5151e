"""The rules for joints in a visit file: read, refused, written, and put to use."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from materials.core.errors import Refusal
from materials.core.lengths import Length
from quotes.core.joint_rules import EU_JOINTS, JOINTS, PUBLISHED, JointRules
from quotes.core.rules_file import rules_document
from quotes.core.visit_file import read_visit
from quotes.core.visit_writer import written_visit
from tests.builders import a_bare_visit, a_surface
from tests.unit.quotes.core.test_clashes import a_list, cautions

OWN = {
    "of": "eu", "source": "Fennick's handbook", "most_offset": "1/2", "inside": "6 m",
}  # fmt: skip


def read(rules: dict[str, Any]) -> JointRules:
    return read_visit(a_bare_visit(rules=rules)).rules


def test_a_file_without_rules_is_held_to_the_american_ones() -> None:
    assert read_visit(a_bare_visit()).rules == PUBLISHED["us"]
    assert read({"of": "uk"}) == PUBLISHED["uk"]


def test_own_figures_stand_in_place_of_the_published_under_their_own_name() -> None:
    found = read(OWN)

    assert found.most_offset == Fraction(1, 2)
    assert found.offset_source.title == found.movement_source.title
    assert found.movement_source.title == "Fennick's handbook"
    assert found.inside == Length.parse("6 m", system="metric")
    assert (found.outside, found.least_source) == (
        PUBLISHED["eu"].outside, EU_JOINTS,
    )  # fmt: skip
    assert found.times_source == JOINTS


def test_a_reach_for_niches_needs_no_source_and_may_be_nought() -> None:
    assert read({"niche_reach": "0"}).niche_reach == Length(0)


@pytest.mark.parametrize(
    ("rules", "field"),
    [
        ({"inside": "6 m"}, "source"),
        ({"of": "xx"}, "of"),
        ({"source": "us", "inside": "far"}, "inside"),
        ({"source": "us", "inside": "0"}, "inside"),
        ({"source": "us", "most_offset": "3"}, "most_offset"),
        ({"lippage": "1"}, "lippage"),
    ],
)
def test_rules_that_are_none_are_refused(rules: dict[str, str], field: str) -> None:
    with pytest.raises(Refusal) as caught:
        read(rules)

    assert caught.value.field == f"rules.{field}"


@pytest.mark.parametrize("rules", [{}, {"of": "uk"}, OWN, {"niche_reach": "25"}])
def test_rules_are_written_back_as_they_were_read(rules: dict[str, str]) -> None:
    visit = read_visit(a_bare_visit(rules=rules))

    assert read_visit(written_visit(visit)) == visit
    assert rules_document(PUBLISHED["us"]) == {}


def said(rules: dict[str, str], *, wide: str, joint: str = "3") -> dict[str, str]:
    facts = {"length": "600", "width": "300", "thickness": "9", "joint": joint}
    layer = {
        "role": "tile",
        "material": "T",
        "pattern": {"name": "running_bond", "offset": "1/2"},
    }
    document = a_bare_visit(
        a_surface(
            build_up="f",
            shape={"kind": "rectangle", "width": wide, "height": "2000"},
        ),
        build_ups={"f": {"name": "Floor", "layers": [layer]}},
        price_list=a_list(
            {"code": "T", "name": "Slate", "kind": "tile", "facts": facts}
        ),
        rules=rules,
    )
    return {one.code: one.sentence for one in cautions(document)}


def test_the_chosen_set_decides_when_a_movement_joint_is_due() -> None:
    assert "movement_joint" in said({}, wide="9 m")
    assert "movement_joint" not in said({"of": "uk"}, wide="9 m")
    assert "DIN 18157" in said({"of": "eu"}, wide="9 m")["movement_joint"]
    assert "from memory" in said({"of": "eu"}, wide="9 m")["movement_joint"]
    assert "BS 5385-3" in said({"of": "uk"}, wide="11 m")["movement_joint"]


def test_the_business_s_own_offset_is_let_pass_and_its_name_said() -> None:
    assert "offset" in said({}, wide="3 m")
    assert "offset" not in said(OWN, wide="3 m")
    mine = said(OWN, wide="7 m")["movement_joint"]
    assert "Fennick's handbook" in mine
    assert "second hand" not in mine


def test_a_joint_narrow_by_the_set_names_that_set() -> None:
    rules = {"of": "eu", "source": "Ours", "bond_joint": "1"}

    assert "DIN 18352" in said(rules, wide="3 m", joint="1")["narrow_joint"]

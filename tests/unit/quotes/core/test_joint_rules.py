"""Which rules hold where: the published sets, and what a country usually takes."""

from __future__ import annotations

from fractions import Fraction

import pytest

from materials.core.lengths import Length
from quotes.core.joint_rules import JOINTS, PUBLISHED, JointRules, usual_in


@pytest.mark.parametrize(
    ("country", "of"),
    [("US", "us"), ("CA", "us"), ("GB", "uk"), ("ie", "uk"), ("DE", "eu"), ("", "us")],
)
def test_a_country_has_its_usual_rules(country: str, of: str) -> None:
    assert usual_in(country) == of


def test_thirty_three_per_cent_as_printed_lets_a_third_pass() -> None:
    assert JointRules().offset_allowed == Fraction(1, 3)
    assert JointRules(most_offset=Fraction(3, 10)).offset_allowed == Fraction(3, 10)


@pytest.mark.parametrize("of", PUBLISHED)
def test_every_published_set_names_itself_and_its_sources(of: str) -> None:
    rules = PUBLISHED[of]

    assert rules.of == of
    assert rules.outside < rules.inside
    assert rules.small_joint <= rules.least_joint
    assert rules.movement_source.confidence != "read"


def test_what_a_set_does_not_print_names_the_american_source() -> None:
    assert PUBLISHED["uk"].offset_source == JOINTS == PUBLISHED["eu"].times_source
    assert PUBLISHED["uk"].inside == Length.parse("10 m", system="metric")

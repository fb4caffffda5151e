"""The records of a takeoff."""

from __future__ import annotations

from fractions import Fraction

from quotes.core.taken import MEASURE_KEYS, Caution, Measure, Takeoff


def test_a_takeoff_may_be_empty() -> None:
    empty = Takeoff(visit="v", surfaces=(), needs=(), measures=())

    assert (empty.layers, empty.slopes, empty.cautions) == ((), (), ())


def test_equal_cautions_are_one() -> None:
    one = Caution(code="c", sentence="Mind.", place="Hall")
    two = Caution(code="c", sentence="Mind.", place="Hall")

    assert len({one, two}) == 1


def test_a_measure_begins_dry_and_once() -> None:
    measure = Measure(
        key=MEASURE_KEYS[0], basis="area", unit="m2", quantity=Fraction(1), place="Hall"
    )

    assert (measure.exposure, measure.times, measure.tile) == ("dry", 1, None)

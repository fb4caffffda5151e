"""Records of a layout: defaults, refusals, what can be read off them."""

from __future__ import annotations

import pytest

from materials.core.errors import BadShape, OutOfRange
from materials.core.lengths import MM
from quotes.core.layout.counting import count
from quotes.core.layout.records import Rules, SetOut, Surface, box, rectangle
from tests.pattern_proof import built


def test_the_tolerance_is_a_twentieth_of_a_millimetre_unless_told() -> None:
    assert Rules().tolerance * 20 == MM
    assert Rules().least_area == MM * MM // 2


@pytest.mark.parametrize("name", ["tolerance", "kerf", "gap"])
def test_a_rule_below_nothing_is_refused(name: str) -> None:
    with pytest.raises(OutOfRange, match=name):
        Rules(**{name: -1})


def test_a_surface_names_the_ring_that_is_wrong() -> None:
    inside_out = Surface(outer=box(0, 0, 9, 9), holes=(box(5, 5, 9, 9),))

    with pytest.raises(BadShape, match=r"surfaces\[2\]\.holes\[0\]"):
        inside_out.checked(path="surfaces[2]")


def test_edges_are_one_for_each_side() -> None:
    surface = Surface(outer=box(0, 0, 9, 9), edges=("wall", "exposed"))

    with pytest.raises(OutOfRange, match="edges has 2 entries for 4 sides"):
        surface.checked()


def test_exposed_sides_are_known_by_their_length() -> None:
    surface = Surface(
        outer=box(0, 0, 30, 40), edges=("wall", "exposed", "threshold", "exposed")
    )

    assert surface.exposed_length_squared == (1600, 1600)


def test_a_tally_reads_its_joint_off_what_tiles_leave() -> None:
    lattice = built("stack", "3", length=297, width=297)
    tally = count(rectangle(597 * MM, 297 * MM), lattice, SetOut(), Rules())

    assert tally.joint_area == 3 * 297 * MM * MM
    assert tally.joint_length == 297 * MM
    assert tally.no_reuse == 2
    assert tally.smallest_cut is None


def test_without_joint_there_is_no_joint_length() -> None:
    lattice = built("stack", "0", length=300, width=300)
    tally = count(rectangle(650 * MM, 300 * MM), lattice, SetOut(), Rules())

    assert tally.joint_length == 0
    assert tally.smallest_cut == 50 * MM

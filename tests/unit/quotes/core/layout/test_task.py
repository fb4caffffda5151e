"""Origins that a printed figure can name."""

from __future__ import annotations

from fractions import Fraction

from materials.core.lengths import INCH, MM
from quotes.core.layout.records import Rules, rectangle
from quotes.core.layout.task import Task, grained, middle_set_outs
from tests.pattern_proof import built


def test_an_origin_is_kept_as_it_will_be_printed() -> None:
    grain = Fraction(INCH, 10_000)

    x, y = grained((INCH / 32, 12_345.6), grain)

    assert grained((x, y), grain) == (x, y)
    assert abs(x - INCH / 32) <= 3
    assert grained((10.4, 10.5), Fraction(0)) == (10, 11)


def test_the_middle_takes_a_tile_or_a_joint_each_way() -> None:
    lattice = built("stack", "0", length=300, width=200)
    task = Task(
        surfaces=(rectangle(1000 * MM, 1000 * MM),), lattice=lattice, rules=Rules()
    )

    found = {
        choice: set_out.origin
        for choice, set_out in middle_set_outs(task, task.surfaces[0])
    }

    assert found[0, 0] == (350 * MM, 400 * MM)
    assert found[1, 1] == (200 * MM, 300 * MM)

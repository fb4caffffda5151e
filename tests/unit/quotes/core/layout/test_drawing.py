"""Set-out drawings by their structure: pieces, numbers, chalk lines, sizes."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from xml.etree import ElementTree

from materials.core.lengths import MM
from quotes.core.layout.counting import count
from quotes.core.layout.drawing import drawing, set_out_drawings
from quotes.core.layout.records import Rules, SetOut, Tally, rectangle
from quotes.core.layout.reuse import cut_plan
from tests.pattern_proof import built


def laid(wide: int, high: int, angle: int = 0) -> Tally:
    lattice = built("running_bond", "3", length=300, width=100, offset="1/2")
    set_out = SetOut(origin=(50 * MM, 20 * MM), angle=Fraction(angle))
    return count(rectangle(wide * MM, high * MM), lattice, set_out, Rules())


def test_every_tile_is_drawn_and_pieces_of_one_tile_share_a_number() -> None:
    tally = laid(1500, 1000)
    plan = cut_plan([tally], Rules())
    (drawn,) = set_out_drawings([tally], plan)

    kinds = Counter(piece.kind for piece in drawn.pieces)
    numbers = Counter(p.number for p in drawn.pieces if p.number is not None)
    assert kinds[""] == tally.full_count
    assert kinds["cut"] == plan.strict - plan.full
    assert sorted(numbers.values()) == sorted(
        len(tile.pieces) for tile in plan.tiles if len(tile.pieces) > 1
    )


def test_chalk_lines_are_dimensioned_from_the_left_and_the_floor() -> None:
    tally = laid(1500, 1000)
    (drawn,) = set_out_drawings([tally], cut_plan([tally], Rules()))

    assert len(drawn.chalk) == 2
    assert {size.side for size in drawn.sizes} == {"bottom", "left"}
    assert all(0 < size.length.ticks < 1500 * MM for size in drawn.sizes)


def test_a_turned_pattern_has_turned_chalk_lines() -> None:
    tally = laid(1500, 1000, angle=45)
    (drawn,) = set_out_drawings([tally], cut_plan([tally], Rules()))

    assert all(a[0] != b[0] and a[1] != b[1] for a, b in drawn.chalk)


def test_several_surfaces_stand_in_one_well_formed_text() -> None:
    tallies = [laid(1500, 1000), laid(900, 1200, angle=45)]
    text = drawing(tallies, cut_plan(tallies, Rules()), unit="mm")

    root = ElementTree.fromstring(text)
    assert len([child for child in root if child.tag.endswith("svg")]) == 2


def test_a_thousand_tiles_fit_seventy_five_kilobytes() -> None:
    lattice = built("stack", "2", length=98, width=98)
    tally = count(rectangle(3_200 * MM, 3_200 * MM), lattice, SetOut(), Rules())

    text = drawing([tally], cut_plan([tally], Rules()), unit="mm")

    assert tally.full_count == 1024
    assert len(text) <= 75_000


def test_very_many_tiles_are_said_and_not_drawn() -> None:
    lattice = built("stack", "2", length=48, width=48)
    tally = count(rectangle(5_000 * MM, 5_000 * MM), lattice, SetOut(), Rules())

    (drawn,) = set_out_drawings([tally], cut_plan([tally], Rules()))

    assert not drawn.pieces
    assert "10000 whole tiles" in drawn.surface.note

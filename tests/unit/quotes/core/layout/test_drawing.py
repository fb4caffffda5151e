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


def test_a_thousand_tiles_fit_sixty_kilobytes() -> None:
    lattice = built("stack", "2", length=98, width=98)
    tally = count(rectangle(3_200 * MM, 3_200 * MM), lattice, SetOut(), Rules())

    text = drawing([tally], cut_plan([tally], Rules()), unit="mm")

    assert tally.full_count == 1024
    assert len(text) <= 60_000


def test_a_thousand_tiles_with_their_cuts_fit_sixty_kilobytes_too() -> None:
    lattice = built("running_bond", "2", length=148, width=72, offset="1/2")
    room = rectangle(3_900 * MM, 3_000 * MM)
    set_out = SetOut(origin=(30 * MM, 40 * MM))
    tally = count(room, lattice, set_out, Rules())

    text = drawing([tally], cut_plan([tally], Rules()), unit="mm")

    assert tally.no_reuse > 1_000
    assert tally.cut_count > 100
    assert len(text) <= 60_000


def test_sawn_sides_are_told_from_factory_ones_and_slivers_are_marked() -> None:
    lattice = built("stack", "2", length=300, width=300)
    room = rectangle(640 * MM, 500 * MM)
    tally = count(room, lattice, SetOut(), Rules())

    (drawn,) = set_out_drawings([tally], cut_plan([tally], Rules()))

    cut = [piece for piece in drawn.pieces if piece.kind]
    narrow = [piece for piece in cut if piece.sliver]
    assert len(cut) == 5 - 1
    # 640 - 2 × 302 = 36 mm: two slivers beside the wall, one of them in the corner.
    assert len(narrow) == 2
    assert sorted(len(piece.sawn) for piece in cut) == [1, 1, 1, 2]


def test_very_many_tiles_are_said_and_not_drawn() -> None:
    lattice = built("stack", "2", length=48, width=48)
    tally = count(rectangle(5_000 * MM, 5_000 * MM), lattice, SetOut(), Rules())

    (drawn,) = set_out_drawings([tally], cut_plan([tally], Rules()))

    assert not drawn.pieces
    assert "10000 whole tiles" in drawn.surface.note

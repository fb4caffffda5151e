"""What a kind is told of a layer, and which layers are one need."""

from __future__ import annotations

from dataclasses import replace

from materials.core.lengths import Length
from materials.core.need import RackPiece
from materials.core.pricelist import catalogue_on
from quotes.core.extents import LayerExtent, layer_extents
from quotes.core.layer_settings import grouped, settings_of, with_rack_once
from quotes.core.standing import placed_surfaces
from quotes.core.visit_file import read_visit
from tests.builders import a_shower
from tests.unit.quotes.core.test_takeoff import ON

VISIT = read_visit(a_shower())
assert VISIT.price_list is not None
CATALOGUE = catalogue_on(VISIT.price_list, ON)


def layers() -> list[LayerExtent]:
    return [
        one
        for surface in placed_surfaces(VISIT, CATALOGUE)
        for one in layer_extents(surface)
        if one.layer.material
    ]


def test_a_layer_knows_the_sheet_that_boards_it() -> None:
    (screws, *_more) = [one for one in layers() if one.layer.role == "fixing"]

    found = settings_of(screws, CATALOGUE, VISIT)

    assert found["system"] == "imperial"
    assert (found["sheet_width"], found["sheet_length"]) == (
        Length.inch(36, exact=True),
        Length.inch(60, exact=True),
    )


def test_only_boards_are_told_what_comes_in() -> None:
    told = {
        one.layer.role
        for one in layers()
        if "passes" in settings_of(one, CATALOGUE, VISIT)
    }

    assert told == {"board"}


def test_kept_pieces_are_lent_once_and_never_to_the_client() -> None:
    board, *_more = [one for one in layers() if one.layer.role == "board"]
    kept = RackPiece(key="k", words="", width=Length(9), height=Length(9))
    material = replace(CATALOGUE["KB-12"], rack=(kept,))
    theirs = replace(board, layer=replace(board.layer, supplied_by="client"))
    lent: set[str] = set()

    assert with_rack_once(material, theirs, lent).rack == ()
    assert with_rack_once(material, board, lent).rack == (kept,)
    assert with_rack_once(material, board, lent).rack == ()


def test_walls_of_one_board_are_one_group() -> None:
    groups = grouped(layers(), CATALOGUE, VISIT)

    (board,) = [group for key, group in groups.items() if key[0] == "KB-12"]
    assert len(board) > 1
    assert sum(map(len, groups.values())) == len(layers())

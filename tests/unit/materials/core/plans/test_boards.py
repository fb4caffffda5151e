"""Boards planned: numbers on wall and sheet agree, way in splits or folds."""

from __future__ import annotations

from materials.core.lengths import NOTHING, Length
from materials.core.outlines import ring_area
from materials.core.plans.board_panels import Field
from materials.core.plans.board_sheets import Sheet
from materials.core.plans.boards import planned_boards
from materials.core.plans.records import MaterialPlan
from tests.unit.materials.core.plans.test_board_panels import a_field

mm = Length.mm


def a_sheet(*, passes: Length = NOTHING, folds: bool = False) -> Sheet:
    return Sheet(
        code="B",
        words="sheet",
        width=mm(1200),
        length=mm(2400),
        passes=passes,
        folds=folds,
    )


def planned(fields: tuple[Field, ...], sheet: Sheet) -> MaterialPlan:
    found = planned_boards(fields, sheet)
    assert found is not None
    return found


WALLS = (a_field(0, 0, 1312, 2365), a_field(0, 0, 961, 2365, times=2))


def test_every_numbered_piece_stands_on_a_sheet_and_on_a_wall_in_one_size() -> None:
    plan = planned(WALLS, a_sheet())

    cut = {
        plan.numbers[piece.name]: {piece.width, piece.height}
        for sheet in plan.cut.sheets
        for piece in sheet.pieces
    }
    laid = {
        piece.number: {
            piece.outline[2][0] - piece.outline[0][0],
            piece.outline[2][1] - piece.outline[0][1],
        }
        for surface in plan.surfaces
        for piece in surface.pieces
    }
    assert cut == laid
    assert plan.verdict == "3 sheets; 2 cannot be enough."


def test_the_panels_of_a_wall_cover_it() -> None:
    for surface in planned(WALLS, a_sheet()).surfaces:
        area = sum(ring_area(piece.outline).ticks2 for piece in surface.pieces)
        assert area == ring_area(surface.outline).ticks2


def test_what_does_not_come_in_is_split_to_what_does() -> None:
    plan = planned(WALLS, a_sheet(passes=mm(700)))

    widths = [
        min(piece.width, piece.height)
        for sheet in plan.cut.sheets
        for piece in sheet.pieces
    ]
    assert max(widths) <= mm(700).ticks
    assert plan.folds == {}


def test_a_board_whose_face_stays_whole_is_folded_instead() -> None:
    plan = planned(WALLS, a_sheet(passes=mm(700), folds=True))

    assert plan.cut.bought == planned(WALLS, a_sheet()).cut.bought
    assert sum(map(len, plan.folds.values())) == 3
    assert all(surface.folds for surface in plan.surfaces)


def test_seams_stand_by_place() -> None:
    plan = planned((a_field(0, 0, 1312, 2365),), a_sheet())

    assert plan.seams == {"Wall": (mm(2365).ticks,)}


def test_a_place_that_stands_twice_keeps_its_panels_apart() -> None:
    opened = a_field(0, 0, 2600, 2400, holes=((300, 0, 2300, 2100),))
    plan = planned((opened, opened), a_sheet())

    counts = [len(surface.pieces) for surface in plan.surfaces]
    assert len(counts) == 2
    assert counts[0] == counts[1] > 1

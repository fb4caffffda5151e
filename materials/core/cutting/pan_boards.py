"""Flat boards under the areas that stay flat: how many, and for which outline."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

from materials.core.cutting.pan_floor import Floor, box_of
from materials.core.cutting.pan_outlines import Region, region_area
from materials.core.cutting.pan_overlay import common
from materials.core.cutting.pan_records import BoardPiece, FlatBoard
from materials.core.cutting.records import Piece, Rules, Stock
from materials.core.cutting.sheets import plan_sheets
from materials.core.quantities import whole_units

MOST_PANELS = 200
"""Panels of boards that are planned; more is no fixture's base."""


def board_pieces(floor: Floor, board: FlatBoard) -> tuple[BoardPiece, ...] | str:
    """Return the boards that carry every flat area of a floor, or why they cannot.

    Each flat area's bounding rectangle is laid edge to edge with boards, the way round
    that takes fewer panels; the panels of all areas are cut from boards together. A
    board counts for the first area that is cut from it.

    Rounds: a panel up to whole ticks.
    Method: `plan_sheets`, nearly always proven; where it is not, a bound from above.
    """
    regions = [common(flat, floor.ring) for flat in floor.flats]
    panels: list[Piece] = []
    for index, region in enumerate(regions):
        if not region:
            return "a flat area lies outside the recess"
        panels += _panels(board, region, index)
    if sum(panel.count for panel in panels) > MOST_PANELS:
        return "the flat areas would be pieced together from hundreds of panels"
    opened = _opened(board, panels)
    needed = opened.total()
    if board.count is not None and needed > board.count:
        return f"{needed} of “{board.name}” are needed and {board.count} are to be had"
    return tuple(
        BoardPiece(
            board=board,
            outline=region[0],
            count=opened[index],
            area=region_area(region),
        )
        for index, region in enumerate(regions)
    )


def _panels(board: FlatBoard, region: Region, index: int) -> list[Piece]:
    """Return the panels one flat area takes, whole boards first and one cut last."""
    left, low, right, high = box_of(region)
    wide, tall = (whole_units(one, Fraction(1)) for one in (right - left, high - low))
    ways = [
        [
            Piece(name=f"{index}/{w}x{d}", width=w, height=d, count=across * along)
            for w, across in _stretches(wide, size[0])
            for d, along in _stretches(tall, size[1])
        ]
        for size in (
            (board.width.ticks, board.depth.ticks),
            (board.depth.ticks, board.width.ticks),
        )
    ]
    return min(ways, key=lambda way: sum(panel.count for panel in way))


def _stretches(length: int, board: int) -> list[tuple[int, int]]:
    """Return the panel sizes along a length, each with how many there are."""
    whole, rest = divmod(length, board)
    return [pair for pair in ((board, whole), (rest, 1)) if pair[0] and pair[1]]


def _opened(board: FlatBoard, panels: list[Piece]) -> Counter[int]:
    """Return how many boards are opened for each flat area."""
    stock = Stock(
        name=board.name, width=board.width.ticks, height=board.depth.ticks, count=None
    )
    plan = plan_sheets(panels, [stock], Rules())
    return Counter(
        min(int(placed.name.split("/")[0]) for placed in sheet.pieces)
        for sheet in plan.sheets
    )

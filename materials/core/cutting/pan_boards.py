"""Flat boards under the areas that stay flat: how many, and for which outline."""

from __future__ import annotations

from fractions import Fraction

from materials.core.cutting.pan_floor import Floor, box_of
from materials.core.cutting.pan_outlines import region_area
from materials.core.cutting.pan_overlay import common
from materials.core.cutting.pan_records import BoardPiece, FlatBoard


def board_pieces(floor: Floor, board: FlatBoard) -> tuple[BoardPiece, ...] | str:
    """Return the boards that carry every flat area of a floor, or why they cannot.

    Each flat area's bounding rectangle is laid out on boards of its own, edge to
    edge, the way round that takes fewer; areas that fit on one board together share it.

    Method: first fit along the board's length; a bound from above, never less than
    is needed.
    """
    found = []
    rest: list[tuple[Fraction, Fraction]] = []
    for flat in floor.flats:
        region = common(flat, floor.ring)
        if not region:
            return "a flat area lies outside the recess"
        left, low, right, high = box_of(region)
        count = _bought(board, right - left, high - low, rest)
        found.append(
            BoardPiece(
                board=board, outline=region[0], count=count, area=region_area(region)
            )
        )
    needed = sum(piece.count for piece in found)
    if board.count is not None and needed > board.count:
        return f"{needed} of “{board.name}” are needed and {board.count} are to be had"
    return tuple(found)


def _bought(
    board: FlatBoard,
    wide: Fraction,
    tall: Fraction,
    rest: list[tuple[Fraction, Fraction]],
) -> int:
    """Return how many new boards a rectangle takes, using up what is left first."""
    for index, (w, d) in enumerate(rest):
        for one, other in ((wide, tall), (tall, wide)):
            if one <= w and other <= d:
                rest[index] = (w - one, d)
                return 0
    ways = []
    for w, d in ((wide, tall), (tall, wide)):
        across = -(-w // board.width.ticks)
        along = -(-d // board.depth.ticks)
        ways.append((int(across * along), w, d))
    count, w, _ = min(ways)
    if count == 1:
        rest.append((board.width.ticks - w, Fraction(board.depth.ticks)))
    return count

"""Every way to make a sloped floor, priced and ranked: `fit_pans` is the door.

    recess + drain + flat areas    what was measured        (pan_records, pan_floor)
    pans, boards, mortar           what may be bought       (pan_records)
    one plane or four              where each height is     (pan_heights)
    one pan, two, pan and board    what covers the floor    (pan_linear, pan_point)
    a mortar bed                   the exact sloped solid   (pan_mortar)

The full price of what is bought is the way's cost; the share of the plan area that is
cut off stays visible as its own money.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations_with_replacement

from materials.core.cutting.pan_boards import board_pieces
from materials.core.cutting.pan_floor import Floor, floor_of, sunk_reason
from materials.core.cutting.pan_heights import PanBowl
from materials.core.cutting.pan_linear import Tilt, one_lay, tilt_of, tilt_reason
from materials.core.cutting.pan_mortar import NAME, plane_bed, rim_bed
from materials.core.cutting.pan_pairs import joined
from materials.core.cutting.pan_pieces import Lay, pan_corners
from materials.core.cutting.pan_point import bowl_lay, level_rim_reason
from materials.core.cutting.pan_records import (
    LINEAR,
    WAY_KINDS,
    BoardPiece,
    Fit,
    LinearDrain,
    Pan,
    Recess,
    RefusedPan,
    SlopeRule,
    Stock,
    Way,
)
from materials.core.cutting.pan_ways import bowl_way, plane_way
from materials.core.errors import OutOfRange

TURNS = (0, 90, 180, 270)


def fit_pans(recess: Recess, *, stock: Stock, rule: SlopeRule) -> Fit:
    """Return every way to slope a recess to its drain, cheapest first.

    Also every pan that does not do, with the reason. Nothing is rounded but money.

    Raises: BadShape or OutOfRange, naming the field, for a recess that is none.
    Method: exact; each pan is tried at every turn and at the heights worth trying.
    """
    if not 0 < rule.least <= rule.most:
        raise OutOfRange(
            "The least fall must lie above 0 and not above the greatest.",
            field="slope.min",
        )
    floor = floor_of(recess)
    if isinstance(recess.drain, LinearDrain):
        ways, refused = _linear(floor, stock, rule)
    else:
        ways, refused = _point(floor, stock, rule)
    return Fit(ways=tuple(sorted(ways, key=_rank)), refused=tuple(refused))


def _rank(way: Way) -> tuple[object, ...]:
    turns = tuple(piece.turn for piece in way.pieces)
    return (way.cost.amount, WAY_KINDS.index(way.kind), way.trimmed, way.name, turns)


def _linear(
    floor: Floor, stock: Stock, rule: SlopeRule
) -> tuple[list[Way], list[RefusedPan]]:
    ways: list[Way] = []
    tilt = tilt_of(floor)
    refused = [no for pan in stock.pans for no in _sideways(pan, tilt)]
    for boards in _carried(floor, stock, refused):
        board = boards[0].board if boards else None
        found, no = _on_tilt(tilt.with_board(board), boards, stock, rule)
        ways += found
        refused += no
    if stock.mortar is not None:
        bed = tilt_reason(tilt) or plane_bed(tilt, stock.mortar, rule)
        _file(bed, ways, refused)
    return ways, refused


def _carried(
    floor: Floor, stock: Stock, refused: list[RefusedPan]
) -> Iterator[tuple[BoardPiece, ...]]:
    """Yield the boards under the flat areas, board by board; nothing without any.

    A board that cannot carry them is refused. Without boards in the list the flat
    areas are left as they are.
    """
    if not floor.flats or not stock.boards:
        yield ()
        return
    for board in stock.boards:
        pieces = board_pieces(floor, board)
        if isinstance(pieces, str):
            refused.append(_no(board.name, None, pieces))
        else:
            yield pieces


def _on_tilt(
    tilt: Tilt, boards: tuple[BoardPiece, ...], stock: Stock, rule: SlopeRule
) -> tuple[list[Way], list[RefusedPan]]:
    """Return what pans do on one floor: alone, and two by two where neither does."""
    whole = tilt_reason(tilt)
    turn = tilt.frame.turn
    ways: list[Way] = []
    refused: list[RefusedPan] = []
    alone: list[Pan] = []
    for pan in stock.pans:
        found = whole or one_lay(tilt, pan, rule)
        if isinstance(found, str):
            refused.append(_no(_label((pan,), boards), turn, found))
            continue
        alone.append(pan)
        ways.append(plane_way(tilt, found[0], [found[1]], stock, boards))
    rest = [pan for pan in stock.pans if pan not in alone and pan.kind == LINEAR]
    for pans in combinations_with_replacement(rest, 2):
        both = whole or joined(tilt, pans, rule)
        if isinstance(both, str):
            refused.append(_no(_label(pans, boards), turn, both))
        else:
            ways.append(plane_way(tilt, both.plane, both.lays, stock, boards))
    return ways, refused


def _label(pans: Sequence[Pan], boards: Sequence[BoardPiece]) -> str:
    names = [pan.name for pan in pans]
    return " + ".join([*names, *sorted({piece.board.name for piece in boards})])


def _file(bed: Way | str, ways: list[Way], refused: list[RefusedPan]) -> None:
    if isinstance(bed, Way):
        ways.append(bed)
    else:
        refused.append(_no(NAME, None, bed))


def _sideways(pan: Pan, tilt: Tilt) -> list[RefusedPan]:
    """Return the turns at which a linear pan does not fall to the drain side."""
    if pan.kind != LINEAR:
        return []
    turn = tilt.frame.turn
    words = {
        90: "along the drain side",
        180: "away from the drain",
        270: "along the drain side",
    }
    return [
        _no(pan.name, other, f"turned so, it falls {words[(other - turn) % 360]}")
        for other in TURNS
        if other != turn
    ]


def _no(name: str, turn: int | None, reason: str) -> RefusedPan:
    return RefusedPan(pan=name, turn=turn, reason=f"“{name}” does not do: {reason}.")


def _point(
    floor: Floor, stock: Stock, rule: SlopeRule
) -> tuple[list[Way], list[RefusedPan]]:
    whole = level_rim_reason(floor, rule)
    ways: list[Way] = []
    refused: list[RefusedPan] = []
    for boards in _carried(floor, stock, refused):
        board = boards[0].board if boards else None
        for pan in stock.pans:
            for turn, found in _turned(floor, pan, rule, whole):
                reason = (
                    found
                    if isinstance(found, str)
                    else sunk_reason(floor, found[0], board)
                )
                if reason is not None:
                    refused.append(_no(_label((pan,), boards), turn, reason))
                elif not isinstance(found, str):
                    ways.append(bowl_way(floor, found[0], found[1], stock, boards))
    if stock.mortar is not None:
        _file(rim_bed(floor, stock.mortar, rule), ways, refused)
    return ways, refused


def _turned(
    floor: Floor, pan: Pan, rule: SlopeRule, whole: str | None
) -> Iterator[tuple[int, tuple[PanBowl, Lay] | str]]:
    """Yield what a pan does at each turn; a turn that looks the same is left out."""
    seen = []
    for turn in TURNS:
        found = whole or bowl_lay(floor, pan, turn, rule)
        if not isinstance(found, str):
            lying = (found[0], frozenset(pan_corners(found[1])))
            if lying in seen:
                continue
            seen.append(lying)
        yield turn, found

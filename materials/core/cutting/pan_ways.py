"""A way put together: its pieces, money, heights, steps and the sentence of working."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from moneyed import Money

from materials.core import amounts
from materials.core.cutting.pan_floor import (
    Floor,
    board_steps,
    box_of,
    fall_text,
    heights,
    left_cautions,
)
from materials.core.cutting.pan_heights import PanBowl, Plane
from materials.core.cutting.pan_linear import (
    Tilt,
    gathering_walls,
    valley_run,
    wall_run,
)
from materials.core.cutting.pan_pieces import Lay, piece_of
from materials.core.cutting.pan_point import rim_runs, rim_steps
from materials.core.cutting.pan_point import valley_run as point_valley
from materials.core.cutting.pan_records import (
    LABOUR,
    ONE_PAN,
    PAN_AND_BOARD,
    TWO_PANS,
    BoardPiece,
    PanPiece,
    Step,
    Stock,
    Way,
)
from materials.core.quantities import fixed_text


def plane_way(
    tilt: Tilt,
    plane: Plane,
    lays: Sequence[Lay],
    stock: Stock,
    boards: Sequence[BoardPiece] = (),
) -> Way:
    """Return the way that one or two linear pans give, with boards when there are."""
    pieces = tuple(piece_of(lay, leftover=stock.leftover) for lay in lays)
    steps = (*_strip_step(tilt, plane), *board_steps(tilt.floor, plane, tilt.board))
    kind = PAN_AND_BOARD if boards else TWO_PANS if len(pieces) > 1 else ONE_PAN
    return Way(
        kind=kind,
        name=_name(pieces, boards),
        cost=_cost(pieces, boards),
        pieces=pieces,
        boards=tuple(boards),
        bed=None,
        slope=plane.slope,
        runs=(wall_run(tilt, plane),),
        valley=valley_run(tilt, plane),
        heights=heights(tilt.floor, plane, tilt.board),
        steps=steps,
        used=sum((piece.used for piece in pieces), Fraction(0)),
        trimmed=sum((piece.trimmed for piece in pieces), Fraction(0)),
        trimmed_money=_sum([piece.trimmed_money for piece in pieces]),
        rack_money=_sum([piece.rack_money for piece in pieces]),
        labour=LABOUR[kind],
        sentence=_plane_sentence(tilt, plane, pieces),
        cautions=(
            *gathering_walls(tilt, plane),
            *left_cautions(tilt.floor, tilt.board),
        ),
        surface=plane,
    )


def _strip_step(tilt: Tilt, plane: Plane) -> tuple[Step, ...]:
    """Return the step up from a kept flat strip to the slope."""
    drop = plane.base - plane.strip_height
    if not plane.start or not drop:
        return ()
    left, _, right, _ = box_of(tilt.region)
    return (
        Step(
            where="strip",
            start=tilt.frame.outside((left, plane.start)),
            end=tilt.frame.outside((right, plane.start)),
            at_start=drop,
            at_end=drop,
        ),
    )


def bowl_way(
    floor: Floor,
    bowl: PanBowl,
    lay: Lay,
    stock: Stock,
    boards: Sequence[BoardPiece] = (),
) -> Way:
    """Return the way that a point pan gives, with boards when there are."""
    board = boards[0].board if boards else None
    kind = PAN_AND_BOARD if boards else ONE_PAN
    piece = piece_of(lay, leftover=stock.leftover)
    runs = rim_runs(floor, bowl, bowl.base)
    return Way(
        kind=kind,
        name=_name([piece], boards),
        cost=_cost([piece], boards),
        pieces=(piece,),
        boards=tuple(boards),
        bed=None,
        slope=min(run.slope for run in runs),
        runs=runs,
        valley=point_valley(floor, bowl, bowl.base),
        heights=heights(floor, bowl, board),
        steps=(*rim_steps(floor, bowl), *board_steps(floor, bowl, board)),
        used=piece.used,
        trimmed=piece.trimmed,
        trimmed_money=piece.trimmed_money,
        rack_money=piece.rack_money,
        labour=LABOUR[kind],
        sentence=_bowl_sentence(floor, bowl, piece),
        cautions=left_cautions(floor, board),
        surface=bowl,
    )


def _name(pieces: Sequence[PanPiece], boards: Sequence[BoardPiece]) -> str:
    names = [piece.pan.name for piece in pieces]
    names += sorted({piece.board.name for piece in boards})
    return " + ".join(names)


def _cost(pieces: Sequence[PanPiece], boards: Sequence[BoardPiece]) -> Money:
    prices = [piece.pan.price for piece in pieces]
    prices += [
        amounts.extend(piece.board.price, Fraction(piece.count)) for piece in boards
    ]
    return _sum(prices)


def _sum(prices: Sequence[Money]) -> Money:
    return amounts.total(prices, prices[0].currency.code)


def _plane_sentence(tilt: Tilt, plane: Plane, pieces: Sequence[PanPiece]) -> str:
    words = tilt.floor.words
    top = box_of(tilt.region)[3]
    high = plane.at_local(top)
    text = (
        f"Falls {fall_text(plane.slope)}: {words(high)} at the top, "
        f"{words(plane.base)} where the slope ends, {words(high - plane.base)} over "
        f"{words(top - plane.start)}."
    )
    if plane.start:
        text += (
            f" The flat strip of {words(plane.start)} stays at the drain, "
            f"{words(plane.strip_height)} high."
        )
    return " ".join([text, *(_piece_sentence(tilt.floor, piece) for piece in pieces)])


def _bowl_sentence(floor: Floor, bowl: PanBowl, piece: PanPiece) -> str:
    words = floor.words
    text = (
        f"Falls from its rim, {words(bowl.base + bowl.rise)} before trimming, to "
        f"{words(bowl.base)} at the drain."
    )
    return f"{text} {_piece_sentence(floor, piece)}"


def _piece_sentence(floor: Floor, piece: PanPiece) -> str:
    cuts = " and ".join(
        f"{floor.words(trim.amount)} off its {trim.side} side" for trim in piece.trims
    )
    if not cuts:
        return f"“{piece.pan.name}” is used whole."
    share = fall_share(piece.trimmed_share)
    return (
        f"“{piece.pan.name}” loses {cuts}: {share} of its plan area, "
        f"{amounts.plain(piece.trimmed_money)} of {amounts.plain(piece.pan.price)}"
        f"{' after what goes to the rack' if piece.racked else ''}."
    )


def fall_share(share: Fraction) -> str:
    """Return a share as a percentage with one decimal, half up."""
    return f"{fixed_text(share * 100, places=1)} %"

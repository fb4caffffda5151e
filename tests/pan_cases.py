"""Recesses and pans for the tests of the sloped floor: plain functions, invented goods.

The heights of a way are checked against `height_on_pan`, which knows nothing of the
code under test: it measures from the pan's corners and interpolates.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from materials.core import amounts
from materials.core.cutting.pan_outlines import Point, is_inside, root
from materials.core.cutting.pan_records import (
    Fit,
    FlatBoard,
    LinearDrain,
    Mortar,
    Pan,
    PanPiece,
    PointDrain,
    Recess,
    SlopeRule,
    Stock,
    Way,
)
from materials.core.cutting.pans import fit_pans
from materials.core.lengths import INCH, Length

RULE = SlopeRule(least=Fraction(1, 48), most=Fraction(1, 24))


def inches(value: str | int) -> Length:
    return Length.inch(value)


def ticks(value: str | int) -> int:
    return Length.inch(value).ticks


def outline(*corners: tuple[str | int, str | int]) -> tuple[Point, ...]:
    """Return corners in inches as points in ticks."""
    return tuple((ticks(x), ticks(y)) for x, y in corners)


def box(left: int, low: int, right: str | int, high: str | int) -> tuple[Point, ...]:
    return outline((left, low), (right, low), (right, high), (left, high))


def a_drain(side: int, start: str | int, length: str | int) -> LinearDrain:
    return LinearDrain(side=side, start=inches(start), length=inches(length))


def a_point(x: str | int, y: str | int) -> PointDrain:
    return PointDrain(at=(ticks(x), ticks(y)))


def a_pan(**changes: Any) -> Pan:
    """Return a linear pan that falls 1 in 36 over 42 in below a 4 in strip."""
    facts: dict[str, Any] = {
        "name": "Dell 46",
        "kind": "linear",
        "width": inches(50),
        "depth": inches(46),
        "thin": inches("5/6"),
        "thick": inches(2),
        "strip": inches(4),
        "strip_drop": inches("1/8"),
        "price": amounts.money("386.40", "USD"),
    }
    return Pan(**{**facts, **changes})


def a_point_pan(**changes: Any) -> Pan:
    """Return a square point pan that falls 1 in 40 to its middle."""
    facts: dict[str, Any] = {
        "name": "Dish 50",
        "kind": "point",
        "width": inches(50),
        "depth": inches(50),
        "thin": inches(1),
        "thick": inches("1 5/8"),
        "strip": inches(0),
        "strip_drop": inches(0),
    }
    return a_pan(**{**facts, **changes})


def a_board(**changes: Any) -> FlatBoard:
    facts: dict[str, Any] = {
        "name": "Flat 2",
        "width": inches(48),
        "depth": inches(24),
        "thickness": inches(2),
        "price": amounts.money("58.25", "USD"),
    }
    return FlatBoard(**{**facts, **changes})


def a_mortar(**changes: Any) -> Mortar:
    """Return mortar at 0.05 for a cubic inch, an inch thick at least."""
    facts: dict[str, Any] = {
        "price_per_cubic_tick": Fraction(5, 100) / INCH**3,
        "least": inches(1),
        "currency": "USD",
    }
    return Mortar(**{**facts, **changes})


def a_recess(**changes: Any) -> Recess:
    """Return a recess 38 in wide and 35 in deep with a drain along its whole front."""
    facts: dict[str, Any] = {
        "outline": box(0, 0, 38, 35),
        "drain": a_drain(0, 0, 38),
    }
    return Recess(**{**facts, **changes})


def fitted(recess: Recess, *pans: Pan, rule: SlopeRule = RULE, **stock: Any) -> Fit:
    return fit_pans(recess, stock=Stock(pans=pans, **stock), rule=rule)


def reasons(fit: Fit, name: str, turn: int | None = 0) -> list[str]:
    return [one.reason for one in fit.refused if one.pan == name and one.turn == turn]


def corner_heights(way: Way) -> list[Fraction | None]:
    """Return the heights at the recess's corners in inches."""
    return [
        None if one.ticks is None else one.ticks / INCH
        for one in way.heights
        if one.where == "corner"
    ]


def drain_heights(way: Way) -> list[Fraction]:
    return [
        one.ticks / INCH
        for one in way.heights
        if one.where == "drain" and one.ticks is not None
    ]


def points_in(piece: PanPiece, count: int) -> Iterator[Point]:
    """Give points inside what is kept of a pan, spread by a fixed rule."""
    xs = [Fraction(point[0]) for ring in piece.keep for point in ring]
    ys = [Fraction(point[1]) for ring in piece.keep for point in ring]
    given, step = 0, 0
    while given < count:
        step += 1
        across, up = (
            Fraction(step * 7919 % 9973, 9973),
            Fraction(step * 104729 % 9967, 9967),
        )
        point = (
            min(xs) + across * (max(xs) - min(xs)),
            min(ys) + up * (max(ys) - min(ys)),
        )
        if sum(is_inside(point, ring) for ring in piece.keep) % 2:
            given += 1
            yield point


def height_on_pan(piece: PanPiece, point: Point) -> Fraction:
    """Return the height a pan has at a point of the recess, from its corners alone."""
    if piece.pan.kind == "point":
        return _on_bowl(piece, point)
    a, b = piece.corners[0], piece.corners[1]
    across = (b[0] - a[0], b[1] - a[1])
    uphill = across[0] * (point[1] - a[1]) - across[1] * (point[0] - a[0])
    far = uphill / root(across[0] ** 2 + across[1] ** 2) - piece.pan.strip.ticks
    if far < 0:
        return Fraction(piece.pan.thin.ticks - piece.pan.strip_drop.ticks)
    rise = piece.pan.thick.ticks - piece.pan.thin.ticks
    sloping = piece.pan.depth.ticks - piece.pan.strip.ticks
    return piece.pan.thin.ticks + rise * far / sloping


def _on_bowl(piece: PanPiece, point: Point) -> Fraction:
    """Interpolate in the triangle of drain and rim that holds the point."""
    corners = piece.corners
    place = piece.pan.drain_at or (
        Length(piece.pan.width.ticks // 2),
        Length(piece.pan.depth.ticks // 2),
    )
    across, up = place[0] / piece.pan.width, place[1] / piece.pan.depth
    a, b, _, d = corners
    drain = (
        a[0] + across * (b[0] - a[0]) + up * (d[0] - a[0]),
        a[1] + across * (b[1] - a[1]) + up * (d[1] - a[1]),
    )
    for i in range(4):
        first, second = corners[i], corners[(i + 1) % 4]
        whole = _twice(drain, first, second)
        shares = (
            Fraction(_twice(point, first, second)) / whole,
            Fraction(_twice(drain, point, second)) / whole,
            Fraction(_twice(drain, first, point)) / whole,
        )
        if min(shares) >= 0:
            rise = piece.pan.thick.ticks - piece.pan.thin.ticks
            return piece.pan.thin.ticks + (1 - shares[0]) * rise
    raise AssertionError("the point lies outside the pan")


def _twice(o: Point, a: Point, b: Point) -> Fraction:
    return Fraction((a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0]))

"""A lattice made ready for counting: turned, its basis short, its faces in arrays.

Allowed to hold doubles: a kernel of the layout.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

import numpy as np

from quotes.core.geometry import Floats, Ints, Point, cosine_sine, turned
from quotes.core.pattern import Lattice

_FAR = 1e300


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Grid:
    """Arrays over faces (F) and corners (V); short faces repeat their last corner.

    `basis` columns carry (i, j) to ticks, `inverse` back. `start` is where a face's
    frame begins, `turn` the matrix from the tile's frame to the room. `outline` is in
    the tile's frame, `shape` in the room about the lattice point, `units` the same in
    lattice steps; `…_next` hold the corner that follows each. Sides: inward `normals`
    and `support`, so that inside means normal · point > support. `middle` is a point
    inside each face, in lattice steps.
    """

    basis: Floats
    inverse: Floats
    start: Floats
    turn: Floats
    outline: Floats
    outline_next: Floats
    shape: Floats
    units: Floats
    units_next: Floats
    normals: Floats
    support: Floats
    middle: Floats
    item: Ints
    face_area: Floats


@lru_cache(maxsize=128)
def grid_of(lattice: Lattice, angle: Fraction) -> Grid:
    """Return a lattice at an angle, ready for counting."""
    u, v = _shortest(turned(lattice.u, angle), turned(lattice.v, angle))
    if u[0] * v[1] < u[1] * v[0]:
        # A mirrored basis would swap the inside and the outside of every ring.
        u, v = v, u
    basis = np.array([[u[0], v[0]], [u[1], v[1]]], dtype=np.float64)
    inverse = _inverse(basis)
    outlines = [lattice.items[face.item].outline for face in lattice.faces]
    most = max(len(outline) for outline in outlines)
    outline = np.array(
        [[*ring, *[ring[-1]] * (most - len(ring))] for ring in outlines],
        dtype=np.float64,
    )
    start = np.array([turned(face.at, angle) for face in lattice.faces])
    turn = np.array([_matrix(angle + face.turn) for face in lattice.faces])
    shape = start[:, None, :] + np.einsum("fab,fvb->fva", turn, outline)
    units = shape @ inverse.T
    normals, support = _sides(shape)
    middles = np.array([ring.mean(axis=0) for ring in _corners(shape, outlines)])
    return Grid(
        basis=basis,
        inverse=inverse,
        start=start,
        turn=turn,
        outline=outline,
        outline_next=after(outline),
        shape=shape,
        units=units,
        units_next=after(units),
        normals=normals,
        support=support,
        middle=middles @ inverse.T,
        item=np.array([face.item for face in lattice.faces], dtype=np.int64),
        face_area=np.array(
            [float(item.area) for item in lattice.items], dtype=np.float64
        ),
    )


def _corners(shape: Floats, outlines: list[tuple[Point, ...]]) -> list[Floats]:
    return [ring[: len(outline)] for ring, outline in zip(shape, outlines, strict=True)]


def _matrix(angle: Fraction) -> list[list[float]]:
    cosine, sine = cosine_sine(angle)
    return [[cosine, -sine], [sine, cosine]]


def _inverse(basis: Floats) -> Floats:
    (a, b), (c, d) = basis
    return np.asarray(np.array([[d, -b], [-c, a]]) / (a * d - b * c))


def _shortest(u: Point, v: Point) -> tuple[Point, Point]:
    """Return the Gauss-reduced basis: short vectors make few rows."""
    while True:
        if math.hypot(*u) > math.hypot(*v):
            u, v = v, u
        times = round((u[0] * v[0] + u[1] * v[1]) / (u[0] ** 2 + u[1] ** 2))
        if times == 0:
            return u, v
        v = (v[0] - times * u[0], v[1] - times * u[1])
        if math.hypot(*v) >= math.hypot(*u) * (1 - 1e-12):
            return u, v


def after(corners: Floats) -> Floats:
    """Return for each corner (axis 1) the one that follows it."""
    return np.concatenate([corners[:, 1:], corners[:, :1]], axis=1)


def _sides(shape: Floats) -> tuple[Floats, Floats]:
    """Return inward unit normals and supports; a side of no length is always inside."""
    along = after(shape) - shape
    length = np.hypot(along[:, :, 0], along[:, :, 1])
    real = length > 1e-6
    safe = np.where(real, length, 1)
    normals = np.stack([-along[:, :, 1], along[:, :, 0]], axis=2) / safe[:, :, None]
    normals[~real] = 0
    support = np.einsum("fva,fva->fv", normals, shape)
    support[~real] = -_FAR
    return normals, support

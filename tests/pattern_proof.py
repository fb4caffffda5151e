"""What every laying pattern has to prove: no overlap, one joint, the plane covered."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

import numpy as np
import shapely

from materials.core.lengths import MM
from quotes.core.geometry import turned
from quotes.core.pattern import Lattice, made
from quotes.core.patterns import pattern_named

_TICKS = 3


def built(key: str, joint: str = "3", **sizes: object) -> Lattice:
    """Return a pattern's lattice from sizes in millimetres and its own parameters."""
    pattern = pattern_named(key)
    tile = {
        name: int(Fraction(str(value)) * MM)
        for name, value in sizes.items()
        if name in pattern.tile_keys
    }
    own: Mapping[str, Fraction | bool] = {
        name: value if isinstance(value, bool) else Fraction(str(value))
        for name, value in sizes.items()
        if name not in pattern.tile_keys
    }
    return made(pattern, tile, int(Fraction(joint) * MM), own)


def faces_around(lattice: Lattice, *, reach: int) -> list[shapely.Polygon]:
    """Return the faces of all cells within reach, those of the middle cell first."""
    steps = range(-reach, reach + 1)
    cells = sorted(
        ((i, j) for i in steps for j in steps), key=lambda c: (abs(c[0]) + abs(c[1]), c)
    )
    found = []
    for i, j in cells:
        at = np.array(lattice.u) * i + np.array(lattice.v) * j
        for face in lattice.faces:
            corners = [
                at + face.at + turned(corner, face.turn)
                for corner in lattice.items[face.item].outline
            ]
            found.append(shapely.Polygon(corners))
    return found


def prove(lattice: Lattice) -> None:
    """Fail where faces overlap, the joint is not the joint, or the plane shows."""
    faces = faces_around(lattice, reach=4)
    own = faces[: len(lattice.faces)]
    for index, face in enumerate(own):
        others = np.array([other for k, other in enumerate(faces) if k != index])
        met = shapely.area(shapely.intersection(face, others))
        assert met.max() <= _TICKS * face.length
        assert abs(shapely.distance(face, others).min() - lattice.joint) <= _TICKS
    half = max(lattice.joint, lattice.widest_joint) / 2 + _TICKS
    grown = shapely.union_all(
        shapely.buffer(np.array(faces), half, join_style="mitre", quad_segs=1)
    )
    u, v = np.array(lattice.u), np.array(lattice.v)
    cell = shapely.Polygon([(0, 0), tuple(u), tuple(u + v), tuple(v)])
    assert cell.difference(grown).area == 0


def joint_share(lattice: Lattice) -> float:
    """Return the share of the plane that is joint."""
    (ux, uy), (vx, vy) = lattice.u, lattice.v
    laid = sum(float(lattice.items[face.item].area) for face in lattice.faces)
    return 1 - laid / abs(ux * vy - uy * vx)

"""A lattice made ready: right-handed, short, its faces turned."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from quotes.core.layout.grid import after, grid_of
from tests.pattern_proof import built

LATTICES = [
    built("stack", length=300, width=100),
    built("running_bond", length=300, width=100, offset="1/3"),
    built("herringbone", length=400, width=93),
    built("modular", module=100),
    built("octagon_dot", across=200),
]


@pytest.mark.parametrize("lattice", LATTICES)
@pytest.mark.parametrize("angle", [0, 45, 90, 200])
def test_the_basis_is_right_handed_and_spans_the_same_cell(
    lattice: object, angle: int
) -> None:
    grid = grid_of(lattice, Fraction(angle))  # type: ignore[arg-type]
    (ux, uy), (vx, vy) = lattice.u, lattice.v  # type: ignore[attr-defined]

    assert abs(np.linalg.det(grid.basis) / abs(ux * vy - uy * vx) - 1) < 1e-9
    assert np.allclose(grid.inverse @ grid.basis, np.eye(2))


@pytest.mark.parametrize("lattice", LATTICES)
def test_the_middle_of_a_face_lies_inside_all_its_sides(lattice: object) -> None:
    grid = grid_of(lattice, Fraction(30))  # type: ignore[arg-type]
    middles = grid.middle @ grid.basis.T

    inside = np.einsum("fva,fa->fv", grid.normals, middles) - grid.support
    assert (inside > 0).all()


def test_corners_follow_each_other_round() -> None:
    corners = np.arange(8.0).reshape(1, 4, 2)

    assert after(corners)[0, :, 0].tolist() == [2, 4, 6, 0]

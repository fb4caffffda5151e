"""Running bond proves itself at any offset."""

from __future__ import annotations

import pytest

from materials.core.errors import OutOfRange
from tests.pattern_proof import built, joint_share, prove


@pytest.mark.parametrize("offset", ["1/2", "1/3", "1/4", "2/5", "0", "0.37"])
@pytest.mark.parametrize("returning", [False, True])
def test_faces_never_overlap_and_the_joint_is_constant(
    offset: str, returning: bool
) -> None:
    prove(
        built("running_bond", length=300, width=100, offset=offset, returning=returning)
    )


def test_every_row_moves_on_by_the_offset() -> None:
    lattice = built("running_bond", length=297, width=97, offset="1/3")

    assert lattice.v[0] * 3 == lattice.u[0]


def test_a_returning_bond_moves_odd_rows_only() -> None:
    lattice = built("running_bond", length=297, width=97, offset="1/3", returning=True)

    assert lattice.v[0] == 0
    assert lattice.faces[1].at[0] * 3 == lattice.u[0]


@pytest.mark.parametrize("offset", ["1", "-1/3", "7/2"])
def test_an_offset_of_a_whole_tile_or_below_nothing_is_refused(offset: str) -> None:
    with pytest.raises(OutOfRange, match="offset"):
        built("running_bond", length=300, width=100, offset=offset)


def test_a_bond_without_an_offset_is_refused() -> None:
    with pytest.raises(OutOfRange, match="offset"):
        built("running_bond", length=300, width=100)


def test_joints_of_a_bond_take_what_those_of_a_stack_take() -> None:
    bond = built("running_bond", length=300, width=100, offset="1/2")

    assert (
        abs(joint_share(bond) - joint_share(built("stack", length=300, width=100)))
        < 1e-9
    )

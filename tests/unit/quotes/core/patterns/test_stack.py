"""Stack bond proves itself."""

from __future__ import annotations

import pytest

from materials.core.errors import OutOfRange
from tests.pattern_proof import built, joint_share, prove


@pytest.mark.parametrize(
    ("length", "width", "joint"), [(300, 300, "3"), (600, 97.5, "1.5"), (100, 200, "0")]
)
def test_faces_never_overlap_and_the_joint_is_constant(
    length: float, width: float, joint: str
) -> None:
    prove(built("stack", joint, length=length, width=width))


def test_joints_of_300_by_300_and_3_take_two_percent() -> None:
    assert abs(joint_share(built("stack", length=300, width=300)) - 0.0197) < 0.0001


@pytest.mark.parametrize("joint", ["300", "301", "-1"])
def test_a_joint_as_wide_as_the_tile_or_below_nothing_is_refused(joint: str) -> None:
    with pytest.raises(OutOfRange, match="joint"):
        built("stack", joint, length=300, width=300)

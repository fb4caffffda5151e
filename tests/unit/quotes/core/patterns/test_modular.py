"""Four sizes of one module prove themselves."""

from __future__ import annotations

import pytest

from materials.core.errors import OutOfRange
from tests.pattern_proof import built, joint_share, prove


@pytest.mark.parametrize(("module", "joint"), [(100, "3"), (200, "5"), (150, "0")])
def test_faces_never_overlap_and_the_joint_is_constant(module: int, joint: str) -> None:
    prove(built("modular", joint, module=module))


def test_the_four_sizes_share_the_area_as_published() -> None:
    lattice = built("modular", "0", module=100)
    area = {item.name: 0 for item in lattice.items}
    for face in lattice.faces:
        item = lattice.items[face.item]
        area[item.name] += int(item.area)
    whole = sum(area.values())

    assert [round(1000 * part / whole) for part in area.values()] == [
        333,
        444,
        111,
        111,
    ]


def test_a_joint_as_wide_as_the_module_is_refused() -> None:
    with pytest.raises(OutOfRange, match="joint"):
        built("modular", "100", module=100)


def test_without_joint_the_cell_is_all_tile() -> None:
    assert abs(joint_share(built("modular", "0", module=100))) < 1e-12

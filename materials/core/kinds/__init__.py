"""The kinds of material, one module each, listed here in the order of their keys.

backer_board   panels cut from whole sheets
fixing         screws by a grid over the boards
foam_pan       a factory slope, trimmed to the recess
grout          the share of joint in a tile with its joint
linear_drain   one for each sloped floor
membrane       sheet in strips, liquid in coats, bands along corners
mortar         adhesive by notch or coverage, beds by volume
profile        lengths along exposed edges
sealant        metres of joint by its section
tile           whole and cut tiles, or bounds until a set-out counts them
"""

from __future__ import annotations

from collections.abc import Mapping

from materials.core.errors import Unknown
from materials.core.kind import Kind
from materials.core.kinds import (
    backer_board,
    fixing,
    foam_pan,
    grout,
    linear_drain,
    membrane,
    mortar,
    profile,
    sealant,
    tile,
)

KINDS: tuple[Kind, ...] = (
    backer_board.KIND,
    fixing.KIND,
    foam_pan.KIND,
    grout.KIND,
    linear_drain.KIND,
    membrane.KIND,
    mortar.KIND,
    profile.KIND,
    sealant.KIND,
    tile.KIND,
)

BY_KEY: Mapping[str, Kind] = {kind.key: kind for kind in KINDS}


def kind_of(key: str) -> Kind:
    """Return the registered kind of a key.

    Raises: Unknown, naming the kinds there are.
    """
    kind = BY_KEY.get(key)
    if kind is None:
        raise Unknown(
            f"“{key[:40]}” is no kind of material; it is one of {', '.join(BY_KEY)}.",
            field="kind",
        )
    return kind

"""Running bond: each row moved along by a share of the tile, on or back again."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from materials.core.errors import OutOfRange
from quotes.core.pattern import Lattice, Parameter, Pattern, flat, oblong


def _build(
    tile: Mapping[str, int], joint: int, parameters: Mapping[str, Fraction | bool]
) -> Lattice:
    length, width = tile["length"], tile["width"]
    across, up = length + joint, width + joint
    offset = Fraction(parameters["offset"])
    if not 0 <= offset < 1:
        raise OutOfRange(
            f"pattern.offset is {offset}; give the share of a tile each row moves, "
            "from 0 to less than 1.",
            field="pattern.offset",
        )
    # One division at the end keeps halves and thirds of a tick as near as they go.
    shift = across * offset.numerator / offset.denominator
    returning = bool(parameters["returning"])
    return Lattice(
        u=(across, 0),
        v=(0, 2 * up) if returning else (shift, up),
        items=(oblong("tile", length, width),),
        faces=(flat(0, 0, 0), flat(0, shift, up)) if returning else (flat(0, 0, 0),),
        joint=joint,
        pitch=(across, up),
        middle=(length / 2, width / 2),
    )


def _least_cut(parameters: Mapping[str, Fraction | bool]) -> Fraction | None:
    """Return the smallest cut that can be kept on any length.

    A staircase of k steps can lose a whole step to either wall: 1/(2k). A third that
    returns keeps a third; other returning offsets have no figure here.
    """
    offset = Fraction(parameters["offset"])
    if not parameters.get("returning"):
        return Fraction(1, 2 * offset.denominator)
    known = {Fraction(0): 2, Fraction(1, 2): 4, Fraction(1, 3): 3, Fraction(2, 3): 3}
    return Fraction(1, known[offset]) if offset in known else None


PATTERN = Pattern(
    key="running_bond",
    label="Running bond",
    tile_keys=("length", "width"),
    build=_build,
    parameters=(
        Parameter(
            name="offset",
            kind="number",
            help="the share of tile and joint each row moves right, such as 1/3",
        ),
        Parameter(
            name="returning",
            kind="switch",
            help="whether every second row moves back again",
            default=False,
        ),
    ),
    least_cut=_least_cut,
)

"""Every registered pattern is complete, named once, and refuses nonsense."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from materials.core.errors import OutOfRange, Unknown
from materials.core.lengths import MM
from quotes.core.pattern import Pattern, check_tessellation, made, oblong
from quotes.core.patterns import PATTERNS, pattern_named
from tests.pattern_proof import built

SIZES = {"length": 203, "width": 100, "across": 200, "small": 100, "module": 100}
OWN = {"offset": "1/2", "n": 2, "slope": 45}


@pytest.mark.parametrize("pattern", PATTERNS, ids=lambda pattern: pattern.key)
def test_a_pattern_is_built_from_the_keys_it_names(pattern: Pattern) -> None:
    given = {key: SIZES[key] for key in pattern.tile_keys}
    own = {p.name: OWN[p.name] for p in pattern.parameters if p.default is None}

    lattice = built(pattern.key, **given, **own)

    assert lattice.faces
    assert {face.item for face in lattice.faces} == set(range(len(lattice.items)))
    assert len({item.name for item in lattice.items}) == len(lattice.items)


def test_keys_are_unique_and_in_order_and_never_change() -> None:
    assert [pattern.key for pattern in PATTERNS] == [
        "basketweave", "chevron", "herringbone", "hexagon", "hopscotch", "modular",
        "octagon_dot", "running_bond", "stack", "windmill",
    ]  # fmt: skip


def test_an_unknown_pattern_is_refused_with_those_there_are() -> None:
    with pytest.raises(Unknown, match="stack"):
        pattern_named("crazy")


@pytest.mark.parametrize("pattern", PATTERNS, ids=lambda pattern: pattern.key)
def test_a_size_left_out_is_named(pattern: Pattern) -> None:
    with pytest.raises(OutOfRange, match=r"tile\."):
        made(pattern, {}, 0, {})


@pytest.mark.parametrize(
    ("key", "own", "share"),
    [
        ("stack", {}, "1/2"),
        ("running_bond", {"offset": Fraction(1, 2)}, "1/4"),
        ("running_bond", {"offset": Fraction(1, 3)}, "1/6"),
        ("running_bond", {"offset": Fraction(1, 4)}, "1/8"),
        ("running_bond", {"offset": Fraction(1, 3), "returning": True}, "1/3"),
    ],
)
def test_the_smallest_cut_that_can_be_kept(
    key: str, own: dict[str, Fraction | bool], share: str
) -> None:
    assert pattern_named(key).least_cut(own) == Fraction(share)


def test_a_square_turns_by_quarters_and_an_oblong_by_halves() -> None:
    assert oblong("tile", 10, 10).turns == (0, 90, 180, 270)
    assert oblong("tile", 20, 10).turns == (0, 180)


@pytest.mark.parametrize("pattern", PATTERNS, ids=lambda pattern: pattern.key)
def test_every_turn_lays_an_item_on_itself(pattern: Pattern) -> None:
    given = {key: SIZES[key] for key in pattern.tile_keys}
    own = {p.name: OWN[p.name] for p in pattern.parameters if p.default is None}

    for item in built(pattern.key, **given, **own).items:
        for turn in item.turns:
            for corner in item.outline:
                x, y = item.turned(corner, turn)
                assert (
                    min(
                        abs(x - other_x) + abs(y - other_y)
                        for other_x, other_y in item.outline
                    )
                    < 2
                )


@pytest.mark.parametrize("pattern", PATTERNS, ids=lambda pattern: pattern.key)
@pytest.mark.parametrize("joint", ["0", "3"])
def test_a_lattice_that_does_not_close_is_refused(pattern: Pattern, joint: str) -> None:
    given = {key: SIZES[key] for key in pattern.tile_keys}
    own = {p.name: OWN[p.name] for p in pattern.parameters if p.default is None}
    lattice = built(pattern.key, joint, **given, **own)
    (ux, uy), (vx, vy) = lattice.u, lattice.v

    check_tessellation(lattice)
    for share in (Fraction(9, 10), Fraction(11, 10)):
        scale = share.numerator / share.denominator
        wrong = replace(lattice, u=(ux * scale, uy * scale), v=(vx, vy))
        with pytest.raises(OutOfRange, match="pattern does not close"):
            check_tessellation(wrong)


def test_an_overlap_with_a_hole_as_large_is_refused() -> None:
    """The areas add up, but one of two tiles lies on the other's corner."""
    lattice = built("running_bond", "3", length=300, width=100, offset="1/3",
                    returning=True)  # fmt: skip
    first, second = lattice.faces
    wrong = replace(second, at=(second.at[0], second.at[1] - 20 * MM))

    with pytest.raises(OutOfRange, match="pattern does not close"):
        check_tessellation(replace(lattice, faces=(first, wrong)))

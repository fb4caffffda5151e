"""Patterns that are laid of several products: which sizes they need, and each's share.

A layer names one product; the others stand in its pattern as `with`, in the order of
the pattern's items: hopscotch its small square, windmill and octagon their square, four
sizes the three smaller ones, largest first. The set-out is one, and each product's
need is what of it is of its size.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np

from materials.core.errors import Refusal, Unknown
from materials.core.kinds.tile import facts_of
from materials.core.lengths import Length
from materials.core.need import MaterialFacts, TileFacts
from materials.core.pricelist import material_of
from materials.core.quantities import half_up
from quotes.core.geometry import Ints
from quotes.core.layout.records import Tally
from quotes.core.pattern import Lattice, Pattern, made
from quotes.core.patterns import pattern_named

OTHERS: Mapping[str, int] = {
    "hopscotch": 1, "windmill": 1, "octagon_dot": 1, "modular": 3,
}  # fmt: skip
"""How many products each such pattern takes beside the layer's own."""


class WrongMix(Refusal):
    """Products that do not make up the pattern they are named for."""

    code = "wrong_mix"


@dataclass(frozen=True, slots=True, kw_only=True)
class Mix:
    """The products of one set-out and the sizes that its lattice is made from.

    `pattern` is the pattern's key, `sizes` are its tile's keys with ticks, `joint`
    ticks; `rank` says which product is meant, 0 the layer's own.
    """

    pattern: str
    products: tuple[str, ...]
    sizes: tuple[tuple[str, int], ...]
    joint: int
    rank: int = 0

    @property
    def lattice(self) -> Lattice:
        """The lattice of all products together; no such pattern has parameters."""
        return made(pattern_named(self.pattern), dict(self.sizes), self.joint, {})


def others_of(pattern: Mapping[str, object]) -> tuple[str, ...]:
    """Return the products a layer's pattern names beside the layer's own."""
    named = pattern.get("with")
    return tuple(str(code) for code in named) if isinstance(named, list) else ()


def mix_of(
    own: str,
    wish: Mapping[str, object],
    settings: Mapping[str, object],
    catalogue: Mapping[str, MaterialFacts],
) -> Mix | None:
    """Return the mix of a layer, None where its pattern names no other product.

    Raises: WrongMix with the field `with` for a pattern laid of one product, too few
    or too many products, or one whose size the pattern has no place for; Unknown for
    a product that is not in the list or is no tile.
    """
    others = others_of(wish)
    if not others:
        return None
    pattern = pattern_named(str(wish.get("name", "stack")))
    wanted = OTHERS.get(pattern.key, 0)
    if len(others) != wanted:
        takes = f"takes {wanted} beside it" if wanted else "is laid of one product"
        raise WrongMix(
            f"{pattern.label} {takes}; “with” names {len(others)}.", field="with"
        )
    try:
        materials = [material_of(catalogue, code) for code in (own, *others)]
    except Refusal as refusal:
        raise refusal.at("with") from refusal
    for material in materials:
        if material.kind != "tile":
            raise Unknown(
                f"{material.code} {material.name} is no tile; {pattern.label.lower()} "
                "is laid of tiles.",
                field="with",
            )
    tiles = [facts_of(material, settings) for material in materials]
    sizes = _sizes(pattern.key, tiles)
    joint = tiles[0].joint.ticks
    mix = Mix(
        pattern=pattern.key,
        products=(own, *others),
        sizes=tuple(sizes.items()),
        joint=joint,
    )
    _check(pattern, mix.lattice, materials, tiles)
    return mix


def _sizes(key: str, tiles: Sequence[TileFacts]) -> dict[str, int]:
    """Return the lengths that describe the pattern's tile, in ticks."""
    own = tiles[0]
    long, short = own.length.ticks, own.width.ticks
    if key == "hopscotch":
        return {"length": long, "small": tiles[1].length.ticks}
    if key == "octagon_dot":
        return {"across": min(long, short)}
    if key == "modular":
        module = half_up(Fraction(min(long, short) + own.joint.ticks, 2))
        return {"module": int(module)}
    return {"length": long, "width": short}


def _check(
    pattern: Pattern,
    lattice: Lattice,
    materials: Sequence[MaterialFacts],
    tiles: Sequence[TileFacts],
) -> None:
    """Refuse a product that is off its place by more than its joint takes up."""
    for item, material, tile in zip(lattice.items, materials, tiles, strict=True):
        ends = [sorted(axis) for axis in zip(*item.outline, strict=True)]
        wanted = sorted(int(half_up(Fraction(e[-1] - e[0]))) for e in ends)
        given = sorted((tile.length.ticks, tile.width.ticks))
        if any(
            abs(one - other) > max(lattice.joint, Length.mm(1).ticks)
            for one, other in zip(wanted, given, strict=True)
        ):
            sizes = [Length(ticks).text("metric") for ticks in (*wanted, *given)]
            raise WrongMix(
                f"{pattern.label} has a place for {sizes[1]} × {sizes[0]}; "
                f"{material.code} {material.name} is {sizes[3]} × {sizes[2]}.",
                field="with",
            )


def share_of(lattice: Lattice, rank: int) -> Fraction:
    """Return how many tiles of one product lie in a field of the first.

    The field is the first product's face with half its joints around.

    Rounds: to a millionth; for a first guess only.
    """
    (a, b), (c, d) = lattice.u, lattice.v
    cell = abs(a * d - b * c)
    faces = sum(face.item == rank for face in lattice.faces)
    item = lattice.items[rank]
    ends = [sorted(axis) for axis in zip(*item.outline, strict=True)]
    field = 1
    for axis in ends:
        field = field * (axis[-1] - axis[0] + lattice.joint)
    return half_up(Fraction(faces * field / cell), Fraction(1, 1_000_000))


def joint_share_of(lattice: Lattice) -> Fraction:
    """Return the share of the surface that is joint: a repeat less all its faces.

    Rounds: each face to a whole square tick; nothing else.
    """
    (a, b), (c, d) = lattice.u, lattice.v
    cell = half_up(Fraction(abs(a * d - b * c)))
    faces = sum(half_up(lattice.items[face.item].area) for face in lattice.faces)
    return 1 - faces / cell


def only_of(tally: Tally, rank: int) -> Tally:
    """Return a tally with the tiles of one product alone, the rest left blank."""
    lattice = tally.lattice
    kept = [at for at, face in enumerate(lattice.faces) if face.item == rank]
    item = lattice.items[rank]
    alone = replace(
        lattice,
        items=(item,),
        faces=tuple(replace(lattice.faces[at], item=0) for at in kept),
    )
    pieces, absorbed = (
        tuple(
            replace(piece, item=0, places=_renumbered(piece.places, kept))
            for piece in some
            if piece.item == rank
        )
        for some in (tally.pieces, tally.absorbed)
    )
    laid = tally.full[rank] * item.area
    return replace(
        tally,
        lattice=alone,
        full=(tally.full[rank],),
        cut=(tally.cut[rank],),
        pieces=pieces,
        absorbed=absorbed,
        laid_area=laid + sum(piece.area * piece.count for piece in pieces),
        met_places=_renumbered(tally.met_places, kept),
    )


def _renumbered(places: Ints, kept: Sequence[int]) -> Ints:
    """Return the places of some faces, those faces numbered anew."""
    number = {face: at for at, face in enumerate(kept)}
    mine = np.isin(places[:, 0], kept)
    found: Ints = places[mine].copy()
    found[:, 0] = [number[face] for face in found[:, 0].tolist()]
    return found

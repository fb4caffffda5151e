"""The set-outs a part can have: symmetrical, least tile, fewest cuts, the setter's own.

Each part is looked at alone, as the takeoff sets it out; offcuts that parts share are
counted when the chosen set-outs are taken off together.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from materials.core.errors import BadShape, Refusal
from materials.core.need import MaterialFacts
from quotes.core.file_node import signed_length
from quotes.core.layout.orders import ASSUMED, Ordering
from quotes.core.layout.records import Rules, SetOut, Surface
from quotes.core.layout.setout import OWN, SYMMETRICAL, Proposal, propose
from quotes.core.layout.task import Task
from quotes.core.mosaic_counts import is_mosaic
from quotes.core.patterns import pattern_named
from quotes.core.regions import REGION_EDGE
from quotes.core.taken import LayerUse
from quotes.core.tile_counts import (
    is_laid_of_one,
    is_too_much,
    lattice_for,
    number_of,
    parameters_of,
    summed,
)
from quotes.core.tile_orders import ordered_item, ordering_for


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """The set-outs of one part, and the share of a tile its pattern can keep."""

    part: LayerUse
    pattern: str
    attainable: Fraction | None
    proposals: tuple[Proposal, ...]
    chosen: str
    ordering: Ordering = ASSUMED

    @property
    def aims(self) -> tuple[str, ...]:
        """What each proposal is for, in their order."""
        return tuple(one.aim for one in self.proposals)

    def needed(self, proposal: Proposal) -> int:
        """Tiles of one proposal that are enough with the business's certainty."""
        item = summed([(one, 1) for one in proposal.plan.items])
        return ordered_item(item, self.ordering, times=self.part.times).needed

    def needed_each(self, proposal: Proposal) -> tuple[tuple[str, int], ...]:
        """Return each product with its tiles that are enough: one, or those of a mix.

        Each is ordered by itself, as it is bought, so they may come to more than
        `needed`.
        """
        mix = self.part.mix
        if mix is None:
            return ((self.part.material, self.needed(proposal)),)
        return tuple(
            (
                product,
                ordered_item(item, self.ordering, times=self.part.times).needed,
            )
            for product, item in zip(mix.products, proposal.plan.items, strict=True)
        )


def choices_of(
    part: LayerUse,
    material: MaterialFacts,
    *,
    system: str,
    ordering: Ordering = ASSUMED,
) -> Choices | None:
    """Return what a part can be set out as; None for a tile that is not counted.

    Method: `propose`, some hundred set-outs measured for each aim; kept.
    Raises: Refusal for a tile the pattern does not take.
    """
    tile = part.tile
    wish = part.pattern
    pattern = pattern_named(str(wish.get("name", "stack")))
    if tile is None or is_mosaic(tile):
        return None
    if part.mix is None and not is_laid_of_one(pattern):
        return None
    lattice = lattice_for(pattern, tile, wish, part.mix)
    if is_too_much(part.area.ticks2, lattice):
        return None
    try:
        surface = part_surface(part)
    except BadShape:
        return None
    task = Task(
        surfaces=(surface,),
        lattice=lattice,
        rules=Rules(directional=material.facts.get("directional") is True),
        angle=number_of(wish.get("angle", 0)),
    )
    origin = wish.get("origin", SYMMETRICAL)
    own = () if isinstance(origin, str) else (own_origin(part, origin, system),)
    return Choices(
        part=part,
        pattern=pattern.label,
        attainable=pattern.least_cut(parameters_of(pattern, wish)),
        proposals=_proposed(task, own),
        chosen=origin if isinstance(origin, str) else OWN,
        ordering=ordering_for(material, {}, ordering),
    )


def part_surface(part: LayerUse) -> Surface:
    """Return a tiled part as a surface to lay.

    Raises: BadShape for a part that touches itself.
    """
    return Surface(
        outer=part.outline,
        holes=part.holes,
        edges=tuple(
            "wall" if edge.kind == REGION_EDGE else edge.kind  # type: ignore[misc]
            for edge in part.edges
        ),
        name=part.place,
    ).checked(path=part.place)


def own_origin(part: LayerUse, origin: object, system: str) -> SetOut:
    """Return the set-out a setter gave, measured from the part's lower left.

    Raises: NotALength for what is no length.
    """
    left = min(x for x, _ in part.outline)
    bottom = min(y for _, y in part.outline)
    pair = origin if isinstance(origin, list | tuple) else (0, 0)
    x, y = (signed_length(str(value), system).ticks for value in pair)
    angle = number_of(part.pattern.get("angle", 0))
    return SetOut(origin=(left + x, bottom + y), angle=angle)


@lru_cache(maxsize=64)
def _proposed(task: Task, own: tuple[SetOut, ...]) -> tuple[Proposal, ...]:
    return propose(task, own=own)


def chosen_pattern(part: LayerUse, aim: str, own: tuple[str, str]) -> dict[str, object]:
    """Return the pattern of a part with the set-out that was picked.

    Raises: Refusal for an aim nobody offers, or an origin that is no length.
    """
    wish = {"name": "stack", **part.pattern}
    if aim == OWN:
        for name, text in zip(("across", "up"), own, strict=True):
            if not text.strip():
                raise Refusal(
                    "Give how far the chalk line stands from the left side and from "
                    "the bottom.",
                    field=name,
                )
        return {**wish, "origin": [text.strip() for text in own]}
    if aim not in ("symmetrical", "least_tile", "fewest_cuts"):
        raise Refusal("Choose one of the set-outs.", field="aim")
    return {**wish, "origin": aim}

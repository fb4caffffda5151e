"""Tiles by set-out: whole and cut ones counted, offcuts used again where they fit.

Each tiled part is set out as its pattern says (symmetrical where it says nothing) and
the cut pieces of all parts with one tile and one pattern are planned together. What
is ordered for them, `tile_orders` says.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from materials.core.errors import BadShape, Refusal
from materials.core.kinds.tile import facts_of, longest_side
from materials.core.lengths import Length
from materials.core.need import MaterialFacts, Step, TileFacts
from materials.core.quantities import parse_number
from materials.core.sources import Source
from materials.core.working import count_text, length_in
from quotes.core.extents import LayerExtent
from quotes.core.file_node import signed_length
from quotes.core.layout.counting import count
from quotes.core.layout.orders import ASSUMED, Ordering
from quotes.core.layout.records import Rules, SetOut, Surface, Tally
from quotes.core.layout.reuse import (
    CutPlan,
    ItemPlan,
    cut_plan,
    plan_without_reuse,
)
from quotes.core.layout.setout import AIMS, SYMMETRICAL, tallies_for
from quotes.core.layout.sheets import Sheet, SheetCount, sheets_needed
from quotes.core.layout.task import Task
from quotes.core.mixed_patterns import Mix, only_of
from quotes.core.mosaic_counts import (
    are_too_many,
    chip_lattice,
    is_mosaic,
    sheet_of,
)
from quotes.core.pattern import Lattice, Pattern, made
from quotes.core.patterns import pattern_named
from quotes.core.regions import REGION_EDGE

LARGEST_REUSED = Length.mm("1200")
"""A longer tile is a slab: its offcuts are not counted on, unless its own facts say
otherwise (`reuse_up_to`)."""

SLABS = Source.shop_practice("slabs are bought by the piece")
SET_OUT = Source(title="count: whole and cut tiles of the set-out")

ONE_PRODUCT = (
    "stack", "running_bond", "herringbone", "basketweave", "hexagon", "chevron",
)  # fmt: skip

MOST_TILES = 20_000
"""Beyond this a count would keep a page waiting; the bounds stand in for it."""


def repeated(item: ItemPlan, times: int) -> ItemPlan:
    """Return the figures of a plan that stands several times."""
    return replace(
        item,
        full=item.full * times,
        cut=item.cut * times,
        area_bound=item.area_bound * times,
        free=None,
        strict=item.strict * times,
        lower_bound=item.lower_bound * times,
        tiles=(),
    )


def summed(items: Sequence[tuple[ItemPlan, int]]) -> ItemPlan:
    """Return the figures of plans of one product as one, each so many times."""
    rows = [repeated(item, times) for item, times in items]
    whole = rows[0]
    for row in rows[1:]:
        whole = replace(
            whole,
            full=whole.full + row.full,
            cut=whole.cut + row.cut,
            area_bound=whole.area_bound + row.area_bound,
            strict=whole.strict + row.strict,
            lower_bound=whole.lower_bound + row.lower_bound,
        )
    return whole


@dataclass(frozen=True, slots=True, kw_only=True)
class TilePlan:
    """The set-outs of one tile: each part's place and tally, and the cuts pooled.

    `tallies` stand in the order of `places`. Of a mosaic they count chips, and
    `sheets` says what is bought. `by_piece` is a slab whose offcuts are not counted on;
    `ordering` is how sure the tile is ordered.
    """

    pattern: str
    places: tuple[str, ...]
    times: tuple[int, ...]
    tallies: tuple[Tally, ...]
    plan: CutPlan
    rules: Rules
    attainable: Fraction | None = None
    """The share of a tile's length that can always be kept as the smallest cut."""
    sheets: SheetCount | None = None
    sheet: Sheet | None = None
    by_piece: bool = False
    ordering: Ordering = ASSUMED

    @property
    def least(self) -> int:
        """Tiles or sheets when every rest that fits is used again."""
        return self.sheets.reused if self.sheets else self.plan.strict

    @property
    def most(self) -> int:
        """Tiles or sheets when nothing is used again."""
        return self.sheets.no_reuse if self.sheets else self.plan.no_reuse

    @property
    def figures(self) -> ItemPlan:
        """The figures of what is bought: the tile, or the sheets of a mosaic."""
        item, sheets = summed([(one, 1) for one in self.plan.items]), self.sheets
        if sheets is None:
            return item
        return replace(
            item, full=sheets.whole, cut=sheets.parts, area_bound=sheets.area_bound,
            strict=sheets.reused, lower_bound=sheets.area_bound, tiles=(),
        )  # fmt: skip

    @property
    def steps(self) -> tuple[Step, ...]:
        """The working of the count."""
        return _steps(self)


def counted_tiles(
    group: Sequence[LayerExtent],
    material: MaterialFacts,
    settings: Mapping[str, object],
) -> tuple[TilePlan, ...] | None:
    """Return the set-outs of all parts of a layer, or None where one is not counted.

    A mosaic counts its chips and needs sheets; of a pattern laid of several products,
    this product's tiles count. Not counted: such a pattern that names one product
    only, very many small tiles or chips, and a part that touches itself where
    openings meet; their need stays a bound. Parts that stand several times are
    counted once and multiplied, so offcuts are not carried from one repeat to the
    next.

    Raises: Refusal for a tile the pattern does not take, with the layer's path.
    """
    tile = facts_of(material, settings)
    plans: list[TilePlan] = []
    for pattern_parts in _by_pattern(group):
        try:
            if is_mosaic(tile):
                plan = _mosaic(pattern_parts, tile, material)
            else:
                plan = _planned(pattern_parts, tile, material)
        except BadShape:
            return None
        except Refusal as refusal:
            raise refusal.at(pattern_parts[0].layer_path) from refusal
        if plan is None:
            return None
        plans.append(plan)
    return tuple(plans)


def _by_pattern(group: Sequence[LayerExtent]) -> list[list[LayerExtent]]:
    """Return the parts by pattern and by repeats: each such lot pools its offcuts."""
    lots: dict[str, list[LayerExtent]] = {}
    for one in group:
        rest = {key: value for key, value in one.pattern.items() if key != "origin"}
        rank = one.mix.rank if one.mix else 0
        key = f"{one.extent.times} {rank} {sorted(rest.items(), key=str)!r}"
        lots.setdefault(key, []).append(one)
    return list(lots.values())


def _planned(
    parts: Sequence[LayerExtent], tile: TileFacts, material: MaterialFacts
) -> TilePlan | None:
    wish = parts[0].pattern
    pattern = pattern_named(str(wish.get("name", "stack")))
    mix = parts[0].mix
    if mix is None and not is_laid_of_one(pattern):
        return None
    lattice = lattice_for(pattern, tile, wish, mix)
    area = sum(one.extent.area.ticks2 for one in parts)
    if is_too_much(area, lattice):
        return None
    rules = Rules(directional=material.facts.get("directional") is True)
    angle = number_of(wish.get("angle", 0))
    tallies = tuple(_tally(one, lattice, rules, angle) for one in parts)
    if mix is not None:
        tallies = _of_product(tallies, mix.rank)
    limit = length_in(material.facts, "reuse_up_to", LARGEST_REUSED)
    is_slab = longest_side(tile) > limit
    return TilePlan(
        pattern=pattern.label,
        places=tuple(one.extent.place for one in parts),
        times=tuple(one.extent.times for one in parts),
        tallies=tallies,
        plan=plan_without_reuse(tallies) if is_slab else _cut(tallies, rules),
        rules=rules,
        attainable=pattern.least_cut(parameters_of(pattern, wish)),
        by_piece=is_slab,
    )


def _mosaic(
    parts: Sequence[LayerExtent], tile: TileFacts, material: MaterialFacts
) -> TilePlan | None:
    """Return the set-outs of a mosaic's chips, and the sheets they come from.

    A part that asks for the least tile or the fewest cuts is laid symmetrically: one
    chip more or less decides nothing.
    """
    lattice = chip_lattice(material, tile)
    sheet = sheet_of(material, tile, lattice)
    if are_too_many([one.extent.area.ticks2 for one in parts], lattice):
        return None
    angle = number_of(parts[0].pattern.get("angle", 0))
    tallies = tuple(
        _tally(one, lattice, Rules(), angle, aims=(SYMMETRICAL,)) for one in parts
    )
    return TilePlan(
        pattern="Mosaic",
        places=tuple(one.extent.place for one in parts),
        times=tuple(one.extent.times for one in parts),
        tallies=tallies,
        plan=plan_without_reuse(tallies),
        rules=Rules(),
        sheets=sheets_needed(tallies, sheet),
        sheet=sheet,
    )


def parameters_of(
    pattern: Pattern, wish: Mapping[str, object]
) -> dict[str, Fraction | bool]:
    """Return the numbers and switches of a pattern that a layer or region sets."""
    parameters: dict[str, Fraction | bool] = {}
    for parameter in pattern.parameters:
        value = wish.get(parameter.name)
        if isinstance(value, bool):
            parameters[parameter.name] = value
        elif value is not None:
            parameters[parameter.name] = number_of(value)
    return parameters


def is_laid_of_one(pattern: Pattern) -> bool:
    """Return whether one product makes the whole pattern.

    So no large and small squares, nor octagons with their dots. The two hands of a
    chevron come from one product, in boxes of both.
    """
    return pattern.key in ONE_PRODUCT


@lru_cache(maxsize=64)
def _of_product(tallies: tuple[Tally, ...], rank: int) -> tuple[Tally, ...]:
    """Return the tiles of one product of a mixed pattern; kept, so that plans are."""
    return tuple(only_of(tally, rank) for tally in tallies)


def is_too_much(area: int, lattice: Lattice) -> bool:
    """Return whether an area takes more tiles than a page can wait for."""
    (a, b), (c, d) = lattice.u, lattice.v
    return bool(area * len(lattice.faces) > MOST_TILES * abs(a * d - b * c))


def lattice_for(
    pattern: Pattern,
    tile: TileFacts,
    wish: Mapping[str, object],
    mix: Mix | None = None,
) -> Lattice:
    """Return the lattice of a pattern as a layer or region wishes it.

    A hexagon is as large as the smaller of its sizes: from flat to flat. A mix brings
    the sizes of all its products.

    Raises: Refusal for a tile the pattern does not take.
    """
    if mix is not None:
        return mix.lattice
    parameters = parameters_of(pattern, wish)
    length, width = tile.length.ticks, tile.width.ticks
    sizes = {"length": length, "width": width, "across": min(length, width)}
    sizes = {key: sizes[key] for key in pattern.tile_keys}
    return made(pattern, sizes, tile.joint.ticks, parameters)


def number_of(value: object) -> Fraction:
    """Return a number of a pattern as it was written; none is nought."""
    if isinstance(value, str):
        return parse_number(value)
    return Fraction(value) if isinstance(value, int | Fraction) else Fraction(0)


def _tally(
    one: LayerExtent,
    lattice: Lattice,
    rules: Rules,
    angle: Fraction,
    *,
    aims: Sequence[str] = AIMS,
) -> Tally:
    surface = Surface(
        outer=one.extent.outline,
        holes=one.extent.holes,
        edges=tuple(
            "wall" if edge.kind == REGION_EDGE else edge.kind  # type: ignore[misc]
            for edge in one.extent.edges
        ),
        name=one.extent.place,
    ).checked(path=one.extent.place)
    origin = one.pattern.get("origin", SYMMETRICAL)
    if isinstance(origin, str) and origin in AIMS:
        aim = origin if origin in aims else SYMMETRICAL
        return found_set_out(surface, lattice, rules, angle, aim)
    return count(surface, lattice, _given(one, origin, angle), rules)


@lru_cache(maxsize=256)
def found_set_out(
    surface: Surface, lattice: Lattice, rules: Rules, angle: Fraction, aim: str
) -> Tally:
    """Return the set-out of one part for an aim; kept, a page asks again and again."""
    task = Task(surfaces=(surface,), lattice=lattice, rules=rules, angle=angle)
    return tallies_for(task, aim)[0]


@lru_cache(maxsize=64)
def _cut(tallies: tuple[Tally, ...], rules: Rules) -> CutPlan:
    return cut_plan(tallies, rules, certify=False)


def _given(one: LayerExtent, origin: object, angle: Fraction) -> SetOut:
    """Return the set-out a setter gave, measured from the part's lower left."""
    left = min(x for x, _ in one.extent.outline)
    bottom = min(y for _, y in one.extent.outline)
    system = one.placed.standing.system
    pair = origin if isinstance(origin, list | tuple) else (0, 0)
    x, y = (signed_length(str(value), system).ticks for value in pair)
    return SetOut(origin=(left + x, bottom + y), angle=angle)


def _steps(plan: TilePlan) -> tuple[Step, ...]:
    times = f" × {plan.times[0]}" if plan.times[0] > 1 else ""
    word = "sheet" if plan.sheets else "tile"
    first = _set_out_step(plan, word)
    if not plan.by_piece:
        return (first,)
    return (
        first,
        Step(
            label="Slabs by the piece",
            formula=f"{plan.most}, offcuts not counted on{times}",
            result=count_text(plan.most * plan.times[0], word),
            source=SLABS,
        ),
    )


def _set_out_step(plan: TilePlan, word: str) -> Step:
    cuts, sheets = plan.plan, plan.sheets
    if sheets:
        rest = (
            f"{cuts.full} whole and {cuts.cut} cut chips; {sheets.whole} whole sheets "
            f"and {sheets.parts} in part, {sheets.reused} when every rest that fits "
            "is used again"
        )
    else:
        rest = f"{cuts.full} whole and {cuts.cut} cut"
        if not plan.by_piece:
            rest += f"; {cuts.strict} when every offcut that fits is used again"
    return Step(
        label=f"Set-out, {plan.pattern.lower()}",
        formula=f"{', '.join(plan.places)}: {rest}",
        result=f"{plan.least} to {plan.most} {word}s",
        source=SET_OUT,
    )

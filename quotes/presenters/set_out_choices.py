"""The set-outs to choose from, part by part, as a table with what each costs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction

from django.utils import timezone
from django.utils.translation import gettext as _
from moneyed import Money

from materials.core import amounts
from materials.core.errors import Refusal
from materials.core.lengths import Length
from materials.core.need import MaterialFacts
from materials.models import Business
from quotes.core.joint_rules import NICHE_REACH
from quotes.core.layout.drawing import set_out_drawings
from quotes.core.layout.setout import (
    FEWEST_CUTS,
    LEAST_TILE,
    OWN,
    SYMMETRICAL,
    Proposal,
)
from quotes.core.niche_advice import niche_advice
from quotes.core.set_out_choices import Choices, choices_of
from quotes.core.taken import LayerUse, Takeoff
from quotes.core.takeoff import take_off
from quotes.core.through import Through, set_out_through
from quotes.core.tile_rules import RULE_CODES
from quotes.core.visit import Visit as VisitRecord
from quotes.models import Space, Surface
from quotes.presenters.niches import advice_words
from quotes.presenters.set_outs import drawn_set_out
from quotes.queries.estimating import catalogue_of, visit_record


@dataclass(frozen=True, slots=True, kw_only=True)
class ChoiceRow:
    """One set-out: what it is for, what it takes, whether it stands now."""

    aim: str
    word: str
    tiles: int
    cuts: int
    smallest: str
    cost: Money | None
    verdict: str
    chosen: bool
    svg: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PartChoices:
    """The set-outs of one part."""

    place: str
    layer: int
    tile: str
    words: str
    rows: tuple[ChoiceRow, ...]
    across: str = ""
    up: str = ""
    advice: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ThroughRow:
    """What a tile's parts of one space come to when their rows run through."""

    tile: str
    words: str
    parts: tuple[tuple[str, str, str], ...]
    rows: tuple[tuple[str, str, int, int, Money | None], ...]
    stands: bool
    versions: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ChoiceSheet:
    """The page of set-outs of a surface, or why there is none."""

    parts: tuple[PartChoices, ...] = ()
    through: tuple[ThroughRow, ...] = ()
    checks: tuple[str, ...] = ()
    refused: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Page:
    """In which system lengths are said, in which money, how far a niche may move."""

    system: str
    code: str
    reach: Length = NICHE_REACH
    catalogue: Mapping[str, MaterialFacts] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tiled:
    """The tiled parts of a stored surface, the goods of today, its visit, its checks.

    `checks` say where bond, joint and length of a part break the rules that hold.
    """

    parts: tuple[LayerUse, ...]
    catalogue: dict[str, MaterialFacts]
    visit: VisitRecord
    checks: tuple[str, ...]


def tiled_parts(surface: Surface) -> Tiled:
    """Return what can be set out on a stored surface.

    Raises: Refusal where the visit cannot be taken off.
    """
    record = visit_record(surface.space.visit)
    catalogue = catalogue_of(timezone.localdate(), record)
    takeoff = take_off(record, catalogue)
    own = [part for part in _tiled(takeoff) if part.surface_id == str(surface.uid)]
    whole = f"{surface.space.name}, {surface.name}"
    places = {whole, *(part.place for part in own)}
    return Tiled(
        parts=tuple(_each_once(own)),
        catalogue=catalogue,
        visit=record,
        checks=tuple(
            caution.sentence
            for caution in takeoff.cautions
            if caution.code in RULE_CODES and caution.place in places
        ),
    )


def _each_once(parts: list[LayerUse]) -> list[LayerUse]:
    """Return the parts with those of a flight that are alike shown once.

    Treads and risers keep one set-out together, so alike ones need one drawing.
    """
    alike: dict[object, list[LayerUse]] = {}
    for at, part in enumerate(parts):
        left, low = (min(point[axis] for point in part.outline) for axis in (0, 1))
        moved = tuple((x - left, y - low) for x, y in part.outline)
        is_step = part.region and not part.region_id
        shown = tuple(edge.kind == "exposed" for edge in part.edges)
        key = (moved, part.material, shown) if is_step else at
        alike.setdefault(key, []).append(part)
    return [
        replace(
            held[0],
            place=_("%(place)s and %(count)d alike")
            % {"place": held[0].place, "count": len(held) - 1},
        )
        if len(held) > 1
        else held[0]
        for held in alike.values()
    ]


def _tiled(takeoff: Takeoff) -> list[LayerUse]:
    return [
        layer for layer in takeoff.layers if layer.role == "tile" and layer.material
    ]


def through_of(space: Space) -> tuple[Through, ...]:
    """Return what of a stored space can be set out with its rows running through.

    Raises: Refusal where the visit cannot be taken off.
    """
    record = visit_record(space.visit)
    catalogue = catalogue_of(timezone.localdate(), record)
    measured = next(one for one in record.spaces if one.id == str(space.uid))
    return set_out_through(
        _tiled(take_off(record, catalogue)),
        measured,
        catalogue,
        system=record.system,
        ordering=record.ordering,
    )


def choice_sheet(surface: Surface) -> ChoiceSheet:
    """Return what a surface's parts can be set out as; a refusal is its sentence."""
    page = _Page(
        system=surface.space.visit.system,
        code=Business.objects.values_list("currency", flat=True).get(pk=1),
    )
    try:
        tiled = tiled_parts(surface)
        catalogue = tiled.catalogue
        page = replace(page, reach=tiled.visit.rules.niche_reach, catalogue=catalogue)
        found = [
            choices_of(
                part,
                catalogue[part.material],
                system=page.system,
                ordering=tiled.visit.ordering,
            )
            for part in tiled.parts
        ]
        through = through_of(surface.space)
    except Refusal as refusal:
        return ChoiceSheet(refused=refusal.sentence)
    versions = {
        str(uid): version
        for uid, version in surface.space.surfaces.values_list("uid", "version")
    }
    return ChoiceSheet(
        checks=tiled.checks,
        through=tuple(
            _through(one, catalogue, page, versions)
            for one in through
            if any(part.part.surface_id == str(surface.uid) for part in one.parts)
        ),
        parts=tuple(
            _part(place, choices, catalogue[choices.part.material], page)
            for place, choices in enumerate(found)
            if choices is not None
        ),
    )


def _part(
    place: int, choices: Choices, material: MaterialFacts, page: _Page
) -> PartChoices:
    origin = choices.part.pattern.get("origin")
    own = origin if isinstance(origin, list | tuple) else ("", "")
    words = choices.pattern
    if choices.attainable is not None:
        words = _(
            "%(pattern)s: on any wall it can keep 1/%(part)d of a tile as smallest cut."
        ) % {"pattern": choices.pattern, "part": int(1 / choices.attainable)}
    return PartChoices(
        place=choices.part.place,
        layer=place,
        tile=material.name,
        words=words,
        rows=tuple(_row(choices, one, page) for one in choices.proposals),
        across=str(own[0]),
        up=str(own[1]),
        advice=_advice(choices, material, page),
    )


def _advice(choices: Choices, material: MaterialFacts, page: _Page) -> tuple[str, ...]:
    """Return where openings had better stand, for the set-out that stands now."""
    standing = [one for one in choices.proposals if one.aim == choices.chosen]
    tally = (standing or list(choices.proposals))[0].tallies[0]
    return tuple(
        advice_words(one, page.system)
        for one in niche_advice(
            choices.part, tally, material, system=page.system, reach=page.reach
        )
    )


def _through_words(one: Through) -> str:
    words = _("The courses stand on one line round all walls.")
    if one.joins_floor:
        words += " " + _("Joints of the floor run on into the wall it meets.")
    words += " " + _(
        "Taken is that all walls stand on one level: check it with a laser."
    )
    return words


def _through(
    one: Through,
    catalogue: dict[str, MaterialFacts],
    page: _Page,
    versions: dict[str, int],
) -> ThroughRow:
    def size(ticks: int) -> str:
        return Length(ticks).text(page.system)

    material = catalogue[one.parts[0].part.material]
    return ThroughRow(
        tile=material.name,
        words=_through_words(one),
        parts=tuple(
            (part.part.place, size(part.across), size(part.up)) for part in one.parts
        ),
        rows=(
            (
                _("Running through"),
                size(one.narrowest),
                one.cuts,
                one.tiles,
                _cost(one.tiles, material, page.code),
            ),
            (
                _("As it stands"),
                size(one.narrowest_now),
                one.cuts_now,
                one.tiles_now,
                _cost(one.tiles_now, material, page.code),
            ),
        ),
        stands=one.stands,
        versions=tuple(
            (part.part.surface_id, versions[part.part.surface_id]) for part in one.parts
        ),
    )


def _row(choices: Choices, proposal: Proposal, page: _Page) -> ChoiceRow:
    words = {
        SYMMETRICAL: _("Symmetrical"),
        LEAST_TILE: _("Least tile"),
        FEWEST_CUTS: _("Fewest cuts"),
        OWN: _("Your own"),
    }
    smallest = proposal.smallest_cut
    drawn = set_out_drawings(proposal.tallies, proposal.plan)[0]
    safe = "".join(letter for letter in choices.part.place if letter.isalnum())
    named = replace(drawn.surface, name=f"{safe}-{proposal.aim}")
    return ChoiceRow(
        aim=proposal.aim,
        word=words[proposal.aim],
        tiles=choices.needed(proposal),
        cuts=proposal.cuts,
        smallest=_("none") if smallest is None else Length(smallest).text(page.system),
        cost=_cost_of(choices, proposal, page),
        verdict=_verdict(proposal),
        chosen=proposal.aim == choices.chosen,
        svg=drawn_set_out(replace(drawn, surface=named), system=page.system),
    )


def _verdict(proposal: Proposal) -> str:
    plan = proposal.plan
    if plan.is_proven:
        return _("%(tiles)d at the least; %(fewer)d cannot be enough.") % {
            "tiles": plan.strict,
            "fewer": plan.strict - 1,
        }
    return _("%(tiles)d at the least found; fewer than %(least)d cannot be enough.") % {
        "tiles": plan.strict,
        "least": plan.lower_bound,
    }


def _cost_of(choices: Choices, proposal: Proposal, page: _Page) -> Money | None:
    """Return what all products of a set-out cost; None where one has no price."""
    costs = [
        _cost(tiles, page.catalogue[product], page.code)
        for product, tiles in choices.needed_each(proposal)
    ]
    known = [cost for cost in costs if cost is not None]
    return amounts.total(known, page.code) if len(known) == len(costs) else None


def _cost(tiles: int, material: MaterialFacts, code: str) -> Money | None:
    """Return what so many tiles cost at the largest pack's price, part boxes too."""
    packs = [pack for pack in material.packs if pack.content and pack.price]
    if not packs:
        return None
    pack = max(packs, key=lambda one: one.content)
    return amounts.money(Fraction(tiles * pack.price, 10_000) / pack.content, code)

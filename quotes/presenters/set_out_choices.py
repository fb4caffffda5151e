"""The set-outs to choose from, part by part, as a table with what each costs."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from django.utils import timezone
from django.utils.translation import gettext as _
from moneyed import Money

from materials.core import amounts
from materials.core.errors import Refusal
from materials.core.lengths import Length
from materials.core.need import MaterialFacts
from materials.models import Business
from quotes.core.layout.drawing import set_out_drawings
from quotes.core.layout.orders import Ordering
from quotes.core.layout.setout import (
    FEWEST_CUTS,
    LEAST_TILE,
    OWN,
    SYMMETRICAL,
    Proposal,
)
from quotes.core.niche_advice import Advice, niche_advice
from quotes.core.set_out_choices import Choices, choices_of
from quotes.core.taken import LayerUse, Takeoff
from quotes.core.takeoff import take_off
from quotes.core.through import Through, set_out_through
from quotes.models import Space, Surface
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
    refused: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Page:
    """In which system lengths are said, and in which money."""

    system: str
    code: str


def tiled_parts(
    surface: Surface,
) -> tuple[list[LayerUse], dict[str, MaterialFacts], Ordering]:
    """Return the tiled parts of a stored surface, the goods of today, how to order.

    Raises: Refusal where the visit cannot be taken off.
    """
    catalogue = catalogue_of(timezone.localdate())
    record = visit_record(surface.space.visit)
    parts = _tiled(take_off(record, catalogue))
    own = [part for part in parts if part.surface_id == str(surface.uid)]
    return _each_once(own), catalogue, record.ordering


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
    record, catalogue = visit_record(space.visit), catalogue_of(timezone.localdate())
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
        parts, catalogue, ordering = tiled_parts(surface)
        found = [
            choices_of(
                part, catalogue[part.material], system=page.system, ordering=ordering
            )
            for part in parts
        ]
        through = through_of(surface.space)
    except Refusal as refusal:
        return ChoiceSheet(refused=refusal.sentence)
    versions = {
        str(uid): version
        for uid, version in surface.space.surfaces.values_list("uid", "version")
    }
    return ChoiceSheet(
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
        rows=tuple(_row(choices, one, material, page) for one in choices.proposals),
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
        for one in niche_advice(choices.part, tally, material, system=page.system)
    )


def advice_words(advice: Advice, system: str) -> str:
    """Return an advice as a sentence a setter can act on."""

    def size(ticks: int) -> str:
        return Length(ticks).text(system)

    moves = []
    if advice.right:
        way = _("to the right") if advice.right > 0 else _("to the left")
        moves.append(f"{size(abs(advice.right))} {way}")
    if advice.up:
        way = _("up") if advice.up > 0 else _("down")
        moves.append(f"{size(abs(advice.up))} {way}")
    return _(
        "Before framing: move the opening of %(width)s × %(height)s that stands "
        "%(left)s from the left and %(bottom)s up by %(move)s; the narrowest strip "
        "beside it is then %(then)s instead of %(now)s."
    ) % {
        "width": size(advice.width), "height": size(advice.height),
        "left": size(advice.left), "bottom": size(advice.bottom),
        "move": _(" and ").join(moves),
        "then": size(advice.cut_then), "now": size(advice.cut),
    }  # fmt: skip


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


def _row(
    choices: Choices, proposal: Proposal, material: MaterialFacts, page: _Page
) -> ChoiceRow:
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
        cost=(
            # The other sizes of a mixed pattern have prices of their own.
            None
            if choices.part.mix
            else _cost(choices.needed(proposal), material, page.code)
        ),
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


def _cost(tiles: int, material: MaterialFacts, code: str) -> Money | None:
    """Return what so many tiles cost at the largest pack's price, part boxes too."""
    packs = [pack for pack in material.packs if pack.content and pack.price]
    if not packs:
        return None
    pack = max(packs, key=lambda one: one.content)
    return amounts.money(Fraction(tiles * pack.price, 10_000) / pack.content, code)

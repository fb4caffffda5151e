"""A flight of stairs on its pages: the fields it is typed in, the table for setters."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from django.utils.translation import gettext as _

from materials.core.lengths import Length
from quotes.core.stairs import LIMIT_SOURCE, Stairs
from quotes.core.taken import TakenStairs
from quotes.presenters.inputs import Group, InputMaker
from quotes.presenters.words import LAID_FIRST


@dataclass(frozen=True, slots=True, kw_only=True)
class StairsTable:
    """One flight for the setter: step by step, and what must be said of it.

    `rows` hold number, rise as measured, finished riser with the least bed, bed,
    finished riser, riser piece and tread piece, all as texts.
    """

    place: str
    rows: tuple[tuple[str, ...], ...]
    is_even: bool
    difference: str
    plain: str
    limit: str
    source: str
    order: str


def stairs_group(make: InputMaker, build_ups: list[tuple[str, str]]) -> Group:
    """Return the fields of a flight on the page of its surface."""
    return Group(
        shapes="stairs",
        fields=(
            make(
                "rises",
                _("Rises as measured, from the bottom up"),
                "lines",
                hint=_("one after another with commas between, such as 178, 181"),
            ),
            make("going", _("Going"), hint=_("from one riser's face to the next")),
            make("bottom", _("Laid on the bottom floor, tile and bed")),
            make(
                "landing",
                _("Laid on the landing, tile and bed"),
                hint=_("0 where the floor there stays"),
            ),
            make("tile", _("Tile of the treads, alone")),
            make("bed", _("Least bed under it")),
            make("riser", _("On the face of a riser, tile and bed")),
            make(
                "nosing",
                _("Tread over the riser tile below"),
                hint=_("or the profile's; empty for flush"),
            ),
            make("laid", _("Laid first"), "choice", choices=LAID_FIRST),
            make(
                "riser_build_up",
                _("Build-up of the risers"),
                "choice",
                choices=[("", _("like the treads")), *build_ups],
            ),
            make(
                "limit",
                _("Risers may differ by"),
                hint=_("the local rule; 3/8 in (9.5 mm) where left empty"),
            ),
        ),
    )


def stairs_tables(found: Iterable[TakenStairs], system: str) -> tuple[StairsTable, ...]:
    """Return the table of each flight of a visit."""
    return tuple(_table(one, system) for one in found)


def _table(one: TakenStairs, system: str) -> StairsTable:
    stairs, times = one.stairs, one.times
    return StairsTable(
        place=f"{one.place} × {times}" if times > 1 else one.place,
        rows=step_rows(stairs, system),
        is_even=stairs.is_even,
        difference=stairs.difference.text(system),
        plain=stairs.plain_difference.text(system),
        limit=stairs.limit.text(system),
        source=(
            _("the limit given for this flight")
            if one.own_limit
            else f"{LIMIT_SOURCE.title}, {LIMIT_SOURCE.place}"
        ),
        order=str(dict(LAID_FIRST)["tread" if one.flight.tread_first else "riser"]),
    )


def step_rows(stairs: Stairs, system: str) -> tuple[tuple[str, ...], ...]:
    """Return a flight's steps as rows of texts, a dash where there is no tread."""

    def text(length: Length | None) -> str:
        return "–" if length is None else length.text(system)

    return tuple(
        (
            str(step.number), text(step.rough), text(step.plain), text(step.bed),
            text(step.finished), text(step.riser_piece), text(step.tread_piece),
        )
        for step in stairs.steps
    )  # fmt: skip

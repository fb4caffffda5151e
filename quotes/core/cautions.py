"""The usual cautions of the work, each with where it comes from.

They defer to local code and licensed trades; none of them certifies anything. The
sentences are our own and name the text to look up.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from materials.core.sources import Source
from quotes.core.document import Line
from quotes.core.taken import EVERYONE, SHOP, Caution, MeasuredSurface, Takeoff
from quotes.core.visit import Site

ASBESTOS_BEFORE = 2000
"""Before this year old floors, adhesives and boards are taken to be suspect."""

LEAD_BEFORE = 1978

HEAVY_KG = 23

_HERE = "\x00"
"""Stands for the place in a sentence while those that differ only there are found."""

STRIPPING = (
    "strip_floor_tile",
    "strip_thick_floor_tile",
    "strip_wall_tile",
    "strip_board",
)
CUTTING = (
    "set_floor_tile",
    "set_wall_tile",
    "set_step",
    "fix_board",
    "mitre_edge",
    "set_skirting",
)

_SILICA = Caution(
    code="silica",
    sentence=(
        "Cutting tile, board and mortar frees silica dust. We cut wet or with "
        "extraction, and keep the rooms apart; the local limits for dust apply."
    ),
    source=Source(title="29 CFR 1926.1153", place="Table 1, for the United States"),
)
_ASBESTOS_SOURCE = Source(
    title="dates of national asbestos bans; the local rule decides",
    confidence="memory",
)
_LEAD = Caution(
    code="lead",
    sentence=(
        "A house of this age may have lead in its paint. If painted surfaces must be "
        "disturbed, work stops until the local rules for lead are met."
    ),
    source=Source(title="40 CFR 745, for the United States", confidence="quoted"),
)
_WATER = Caution(
    code="waterproofing",
    sentence=(
        "Wet areas are sealed and the floor is tested with water before it is tiled; "
        "depth and duration follow the local plumbing code, and its inspector decides."
    ),
    source=Source(title="IRC P2503.6, IPC 312.9, for the United States"),
)
_DRAIN = Caution(
    code="drain",
    sentence=(
        "Drain, trap and pipework are connected by a licensed plumber where the local "
        "code asks for one."
    ),
    source=Source.shop_practice("drains and traps are a licensed trade"),
)
_HEATING = Caution(
    code="heating",
    sentence=(
        "Electric floor heating is connected and tested by a licensed electrician; "
        "its cable is never cut."
    ),
    source=Source.shop_practice("electric heating is a licensed trade"),
)
_STRUCTURE = Caution(
    code="structure",
    sentence=(
        "Whether the floor is stiff and strong enough for tile and bed is for an "
        "engineer to say; we report what we see."
    ),
    source=Source.shop_practice("load and deflection are an engineer's matter"),
)
_LIFTING = Caution(
    code="lifting",
    sentence=f"Packs above {HEAVY_KG} kg are lifted by two people or with an aid.",
    source=Source(title="NIOSH lifting equation, base constant", confidence="memory"),
    reader=SHOP,
)


def stop_for_asbestos(site: Site, *, tested: str = "") -> str:
    """Return why stripping must wait, or nothing.

    An old floor, adhesive or board of an age that may hold asbestos stops until a
    test is recorded; a building of unknown age counts as old.
    """
    if tested.strip():
        return ""
    if site.built is not None and site.built >= ASBESTOS_BEFORE:
        return ""
    age = f"is from {site.built}" if site.built is not None else "has no year recorded"
    return (
        f"The building {age}: what is taken out may hold asbestos. Nothing is stripped "
        "or priced until a test is recorded."
    )


def cautions_of(
    takeoff: Takeoff, *, lines: Sequence[Line], site: Site
) -> tuple[Caution, ...]:
    """Return the cautions the work calls for, those of the takeoff first.

    Shape: each sentence once; one that differs only in its place names all of them.
    """
    operations = {line.operation for line in lines if line.operation}
    found = list(takeoff.cautions)
    found += [
        Caution(code="material", sentence=sentence, place=", ".join(need.places))
        for need in takeoff.needs
        for sentence in need.cautions
    ]
    found += [
        Caution(
            code="material",
            sentence=sentence,
            place=", ".join(need.places),
            reader=SHOP,
        )
        for need in takeoff.needs
        for sentence in need.notes
    ]
    if operations.intersection(STRIPPING):
        reason = stop_for_asbestos(site, tested=site.asbestos_test)
        if reason:
            found.append(
                Caution(code="asbestos", sentence=reason, source=_ASBESTOS_SOURCE)
            )
        if site.built is None or site.built < LEAD_BEFORE:
            found.append(_LEAD)
    if operations.intersection(CUTTING):
        found.append(_SILICA)
    found += _by_surface(takeoff.surfaces, operations)
    if _heavy(lines):
        found.append(_LIFTING)
    return _merged(found)


def _merged(cautions: Iterable[Caution]) -> tuple[Caution, ...]:
    """Return the cautions with those that differ only in their place made one."""
    places: dict[str, dict[str, None]] = {}
    first: dict[str, Caution] = {}
    for caution in cautions:
        place = caution.place
        spoken = bool(place) and place in caution.sentence
        stem = caution.sentence.replace(place, _HERE, 1) if spoken else caution.sentence
        first.setdefault(stem, caution)
        places.setdefault(stem, {})[place if spoken else ""] = None
    return tuple(
        caution
        if _HERE not in stem
        else replace(
            caution,
            sentence=stem.replace(_HERE, "; ".join(places[stem])),
            place="; ".join(places[stem]),
        )
        for stem, caution in first.items()
    )


def _by_surface(
    surfaces: Iterable[MeasuredSurface], operations: set[str]
) -> list[Caution]:
    held = list(surfaces)
    exposures = {surface.exposure for surface in held}
    roles = {surface.role for surface in held}
    found = []
    if exposures & {"wet", "steam", "under_water"}:
        found.append(_WATER)
    if "set_drain" in operations:
        found.append(_DRAIN)
    if "heated" in exposures:
        found.append(_HEATING)
    if roles & {"floor", "recess"}:
        found.append(_STRUCTURE)
    return found


def _heavy(lines: Iterable[Line]) -> bool:
    return any(
        line.unit == "kg" and pack.content > HEAVY_KG
        for line in lines
        for pack in line.packs
    )


def for_client(cautions: Iterable[Caution]) -> tuple[str, ...]:
    """Return what the client reads, each sentence once."""
    return _sentences(cautions, EVERYONE)


def for_shop(cautions: Iterable[Caution]) -> tuple[str, ...]:
    """Return what only who orders and sets must put right, each sentence once."""
    return _sentences(cautions, SHOP)


def _sentences(cautions: Iterable[Caution], reader: str) -> tuple[str, ...]:
    found = (caution.sentence for caution in cautions if caution.reader == reader)
    return tuple(dict.fromkeys(found))

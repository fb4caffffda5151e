"""The page of one surface: its fields as data, in groups, refusals in their place."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from django.utils.translation import gettext as _

from quotes.models import Space, Surface, Visit
from quotes.presenters.drawings import Drawn, drawn_as_typed
from quotes.presenters.inputs import Group, Input, InputMaker
from quotes.presenters.stairs import stairs_group
from quotes.presenters.words import CORNERS, EDGES, OPENINGS, REGIONS

BOX = ("left", "bottom", "width", "height")
MOST_SIDES = 12
SPARE_OPENINGS = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class SurfaceSheet:
    """All the page of a surface shows beside its fixed form."""

    sizes: tuple[Group, ...]
    edges: tuple[tuple[Input, ...], ...]
    openings: tuple[Group, ...]
    regions: tuple[Group, ...]
    drain: tuple[Group, ...]
    drawn: Drawn
    edges_open: bool = False


def build_up_choices(visit: Visit) -> list[tuple[str, str]]:
    """Return the build-ups a surface of this visit can have."""
    return [(row.key, row.name) for row in visit.build_ups.all()]


def usual_surface(space: Space) -> dict[str, str]:
    """Return the first values of a new surface: like the one measured before it."""
    last = space.surfaces.order_by("-position", "-pk").first()
    usual = {"shape": "rectangle", "role": "wall", "times": "1"}
    if last is None:
        return {**usual, "measured_to": "framing", "exposure": "dry"}
    return {
        **usual,
        "role": last.role,
        "measured_to": last.measured_to,
        "exposure": last.exposure,
        "build_up": last.build_up,
    }


def surface_sheet(
    space: Space,
    surface: Surface | None,
    values: Mapping[str, str],
    *,
    wrong: str = "",
    sentence: str = "",
) -> SurfaceSheet:
    """Return the page of a surface with what was typed, and the drawing of it."""
    make = InputMaker(values, wrong, sentence)
    build_ups = build_up_choices(space.visit)
    others = [
        (str(other.uid), other.name)
        for other in space.surfaces.all()
        if surface is None or other.pk != surface.pk
    ]
    return SurfaceSheet(
        sizes=(*_sizes(make, others), stairs_group(make, build_ups)),
        edges=tuple(_edge(make, place, others) for place in range(MOST_SIDES)),
        openings=tuple(_openings(make, values)),
        regions=tuple(_regions(make, values, build_ups)),
        drain=_drain(make),
        edges_open=any(
            values.get(f"edge_{place}", "wall") not in ("", "wall")
            or values.get(f"edge_{place}_meets")
            for place in range(MOST_SIDES)
        ),
        drawn=drawn_as_typed(space, values, other=str(surface.uid) if surface else ""),
    )


def _sizes(make: InputMaker, others: list[tuple[str, str]]) -> tuple[Group, ...]:
    """Return the sizes, each shown only for the shapes that have it."""
    return (*_boxed_sizes(make), *_listed_sizes(make, others))


def _boxed_sizes(make: InputMaker) -> tuple[Group, ...]:
    sides = (_("Bottom"), _("Right"), _("Top"), _("Left"))
    cuts = (
        make("cut_width", _("Cut, width")),
        make("cut_height", _("Cut, height")),
    )
    return (
        Group(shapes="rectangle l u stairs", fields=(make("width", _("Width")),)),
        Group(shapes="rectangle l u wall_of", fields=(make("height", _("Height")),)),
        Group(
            shapes="quadrilateral",
            fields=(
                *(make(f"side_{place}", side) for place, side in enumerate(sides)),
                make("diagonal", _("Diagonal, lower left to upper right")),
                make("second_diagonal", _("Other diagonal"), hint=_("if you like")),
            ),
        ),
        Group(shapes="u", fields=(make("cut_left", _("Cut, from left")),)),
        Group(shapes="l u", fields=cuts),
        Group(
            shapes="l",
            fields=(make("cut_corner", _("Cut at"), "choice", choices=CORNERS),),
        ),
    )


def _listed_sizes(make: InputMaker, others: list[tuple[str, str]]) -> tuple[Group, ...]:
    run_hint = _(
        "one a line, counter-clockwise; another inside angle than 90 "
        "after a semicolon: 1200; 135"
    )
    floor = make("floor", _("Floor it stands on"), "choice", choices=others)
    side = make("floor_side", _("Side of the floor"), "text", hint=_("1, 2, 3 …"))
    corners = make(
        "points", _("Corners"), "lines", hint=_("one a line, right; up: 1200; 0")
    )
    return (
        Group(shapes="run", fields=(make("run", _("Sides"), "lines", hint=run_hint),)),
        Group(shapes="polygon", fields=(corners,)),
        Group(shapes="wall_of", fields=(floor, side)),
    )


def _edge(
    make: InputMaker, place: int, others: list[tuple[str, str]]
) -> tuple[Input, ...]:
    return (
        make(f"edge_{place}", _("Kind"), "choice", choices=EDGES),
        make(
            f"edge_{place}_meets",
            _("Meets"),
            "choice",
            choices=[("", _("nothing measured")), *others],
        ),
    )


def _rows(values: Mapping[str, str], kind: str) -> int:
    places = [
        int(name.split("_")[1])
        for name in values
        if name.startswith(f"{kind}_") and name.endswith("_kind") and values[name]
    ]
    return max(places) + 1 if places else 0


def _openings(make: InputMaker, values: Mapping[str, str]) -> Iterable[Group]:
    for place in range(_rows(values, "opening") + SPARE_OPENINGS):
        start = f"opening_{place}_"
        yield Group(
            title=_("Opening %(number)d") % {"number": place + 1},
            fields=(
                make(f"{start}kind", _("Kind"), "choice", choices=OPENINGS),
                make(f"{start}name", _("Name"), "text"),
                *_box(make, start),
                make(f"{start}depth", _("Depth"), hint=_("of a niche")),
                make(f"{start}trim", _("profile round it"), "tick"),
                _identity(make, start),
            ),
        )


def _regions(
    make: InputMaker, values: Mapping[str, str], build_ups: list[tuple[str, str]]
) -> Iterable[Group]:
    for place in range(_rows(values, "region") + 1):
        start = f"region_{place}_"
        yield Group(
            title=_("Region %(number)d") % {"number": place + 1},
            fields=(
                make(f"{start}kind", _("Kind"), "choice", choices=REGIONS),
                make(f"{start}name", _("Name"), "text"),
                make(
                    f"{start}build_up",
                    _("Build-up"),
                    "choice",
                    choices=[("", "–"), *build_ups],
                ),
                *_box(make, start),
                _identity(make, start),
            ),
        )


def _identity(make: InputMaker, start: str) -> Input:
    given = make.values.get(f"{start}id") or str(uuid.uuid4())
    return Input(name=f"{start}id", label="", kind="hidden", value=given)


def _box(make: InputMaker, start: str) -> tuple[Input, ...]:
    labels = (_("From left"), _("From bottom"), _("Width"), _("Height"))
    return tuple(
        make(f"{start}{name}", label) for name, label in zip(BOX, labels, strict=True)
    )


def _drain(make: InputMaker) -> tuple[Group, ...]:
    kinds = [
        ("", _("none")),
        ("linear", _("along a side")),
        ("point", _("at a point")),
    ]
    return (
        Group(
            drains="none linear point",
            fields=(make("drain", _("Drain"), "choice", choices=kinds),),
        ),
        Group(
            drains="linear",
            fields=(
                make("drain_side", _("Along side"), "text", hint=_("1, 2, 3 …")),
                make("drain_from", _("Begins after")),
                make("drain_length", _("Length of the drain")),
            ),
        ),
        Group(
            drains="point",
            fields=(
                make("drain_x", _("From left")),
                make("drain_y", _("From bottom")),
            ),
        ),
        Group(
            drains="linear point",
            fields=(
                make("slope_min", _("Least fall"), "text", hint="1/48"),
                make("slope_max", _("Most fall"), "text", hint="1/24"),
                make("lowest", _("Least edge over the drain"), hint=_("if you like")),
                *_box(make, "flat_"),
            ),
        ),
    )

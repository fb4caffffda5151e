"""Reads one surface of a visit file: shape, edges, openings, regions, readings."""

from __future__ import annotations

from fractions import Fraction

from materials.core.lengths import Length
from materials.core.need import EDGE_KINDS
from quotes.core.file_node import Node, limit_for
from quotes.core.offer_file import read_pattern
from quotes.core.typed import Typed
from quotes.core.visit import (
    EXPOSURES,
    FACES,
    OPENING_KINDS,
    REGION_KINDS,
    ROLES,
    USES,
    Drain,
    EdgeNote,
    Opening,
    Reading,
    Region,
    Slope,
    SpotHeight,
    Surface,
)
from quotes.core.visit_shapes import read_shape


def read_surface(node: Node) -> Surface:
    """Return a surface as it was measured.

    Raises: Refusal with the path of what is missing, unknown or absurd.
    """
    node.only(
        "id", "name", "role", "shape", "build_up", "measured_to", "exposure", "use",
        "times", "edges", "openings", "regions", "readings", "heights", "drain",
        "flat", "slope", "lowest", "steps", "notes", "pattern",
    )  # fmt: skip
    node.demand("role", "shape")
    role = node.choice("role", ROLES, "")
    limit = limit_for(role, node.rules.system)
    identity = node.name_text("id", most=80)
    surface = _read(node, identity, role, limit)
    _check_flight(node, surface)
    return surface


def _check_flight(node: Node, surface: Surface) -> None:
    """Refuse what a flight of stairs cannot have: another role, openings, regions."""
    if surface.shape.kind != "stairs":
        return
    if surface.role != "steps":
        raise node.refuse("role", "A flight of stairs has the role steps.")
    for name in ("openings", "regions"):
        if getattr(surface, name):
            raise node.refuse(
                name,
                f"A flight of stairs takes no {name}; measure that part by itself.",
            )


def _read(node: Node, identity: str, role: str, limit: Length) -> Surface:
    return Surface(
        id=identity,
        name=node.text("name", identity),
        role=role,
        shape=read_shape(node.child("shape"), limit),
        build_up=node.text("build_up", most=80),
        measured_to=node.choice("measured_to", FACES, "framing"),
        exposure=node.choice("exposure", EXPOSURES, "dry"),
        use=node.choice("use", USES, ""),
        times=node.count("times", 1, least=1, most=1000),
        edges=_edges(node),
        openings=tuple(
            _opening(one, limit) for one in node.children("openings", most=100)
        ),
        regions=tuple(_region(one, limit) for one in node.children("regions", most=30)),
        readings=tuple(map(_reading, node.children("readings", most=200))),
        heights=tuple(_spot(one, limit) for one in node.children("heights", most=500)),
        drain=_drain(node, limit),
        flat=_flat(node, limit),
        slope=_slope(node),
        lowest=node.maybe_length("lowest", nothing=True),
        steps=node.count("steps", 0, least=0, most=200),
        notes=node.text("notes", most=4000),
        pattern=read_pattern(node),
    )


def _edges(node: Node) -> tuple[EdgeNote, ...]:
    notes = []
    for index, value in enumerate(node.items("edges", most=200)):
        path = f"{node.at('edges')}[{index}]"
        whole = {"kind": value} if isinstance(value, str) else value
        one = Node.of(whole, path, node.rules)
        one.only("kind", "meets", "runs")
        one.demand("kind")
        notes.append(
            EdgeNote(
                kind=one.choice("kind", EDGE_KINDS, ""),
                meets=one.text("meets", most=80),
                runs=one.choice("runs", ("past", "to"), ""),
            )
        )
    return tuple(notes)


def _opening(node: Node, limit: Length) -> Opening:
    node.only(
        "id", "kind", "name", "left", "bottom", "width", "height", "depth", "lining",
        "trim", "times",
    )  # fmt: skip
    node.demand("kind")
    return Opening(
        id=node.name_text("id", most=80),
        kind=node.choice("kind", OPENING_KINDS, ""),
        name=node.text("name"),
        left=node.length("left", limit=limit, nothing=True, below=True),
        bottom=node.length("bottom", limit=limit, nothing=True, below=True),
        width=node.length("width", limit=limit),
        height=node.length("height", limit=limit),
        depth=node.maybe_length("depth"),
        lining=node.text("lining", most=80),
        trim=node.yes("trim", default=False),
        times=node.count("times", 1, least=1, most=100),
    )


def _region(node: Node, limit: Length) -> Region:
    node.only(
        "id", "kind", "name", "build_up", "left", "bottom", "width", "height",
        "corners", "joint", "pattern",
    )  # fmt: skip
    node.demand("kind")
    kind = node.choice("kind", REGION_KINDS, "")
    asked = {
        "band": ("bottom", "height"),
        "part_height": ("height",),
        "border": ("width",),
        "panel": ("left", "bottom", "width", "height"),
        "niche_back": ("left", "bottom", "width", "height"),
    }[kind]
    node.demand(*asked)

    def size(name: str) -> Typed | None:
        place = name in ("left", "bottom")
        return node.maybe_length(name, limit=limit, nothing=place)

    return Region(
        id=node.name_text("id", most=80),
        kind=kind,
        name=node.text("name"),
        build_up=node.text("build_up", most=80),
        left=size("left"),
        bottom=size("bottom"),
        width=size("width"),
        height=size("height"),
        corners=node.choice("corners", ("mitred", "butted"), "mitred"),
        joint=node.choice("joint", ("joint", "trim"), "joint"),
        pattern=read_pattern(node),
    )


def _reading(node: Node) -> Reading:
    node.only("side", "low", "middle", "high", "plumb")
    node.demand("side")
    return Reading(
        side=node.count("side", 0, least=0, most=200),
        low=node.maybe_length("low"),
        middle=node.maybe_length("middle"),
        high=node.maybe_length("high"),
        plumb=node.maybe_length("plumb", nothing=True, below=True),
    )


def _spot(node: Node, limit: Length) -> SpotHeight:
    node.only("x", "y", "height")
    return SpotHeight(
        x=node.length("x", limit=limit, nothing=True, below=True),
        y=node.length("y", limit=limit, nothing=True, below=True),
        height=node.length("height", nothing=True, below=True),
    )


def _drain(node: Node, limit: Length) -> Drain | None:
    if not node.has("drain"):
        return None
    one = node.child("drain")
    one.demand("kind")
    if one.choice("kind", ("linear", "point"), "") == "linear":
        one.only("kind", "side", "from", "length")
        one.demand("side")
        return Drain(
            kind="linear",
            side=one.count("side", 0, least=0, most=200),
            start=one.maybe_length("from", limit=limit, nothing=True),
            line=one.length("length", limit=limit),
        )
    one.only("kind", "at")
    x, y = one.point("at", limit=limit)
    return Drain(kind="point", x=x, y=y)


def _flat(node: Node, limit: Length) -> tuple[tuple[tuple[Typed, Typed], ...], ...]:
    outlines = []
    for index, value in enumerate(node.items("flat", most=10)):
        path = f"flat[{index}]"
        holder = Node(value={path: value}, path=node.path, rules=node.rules)
        points = holder.points(path, limit=limit)
        if len(points) < 3:
            raise node.refuse(path, "A flat area has at least three corners.")
        outlines.append(points)
    return tuple(outlines)


def _slope(node: Node) -> Slope | None:
    if not node.has("slope"):
        return None
    one = node.child("slope")
    one.only("min", "max")
    least = one.number("min", Fraction(1, 48))
    most = one.number("max", Fraction(1, 24))
    if not least <= most <= 1:
        raise one.refuse(
            "max", "The greatest fall must be at least the least one, and below 1."
        )
    return Slope(least=least, most=most)

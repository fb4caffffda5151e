"""Reads the outline of a surface from a visit file."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from materials.core.lengths import Length
from materials.core.quantities import parse_number
from quotes.core.file_node import Node
from quotes.core.stairs import MOST_RISERS
from quotes.core.typed import Typed
from quotes.core.visit import SHAPE_KINDS, Shape

L_CORNERS = ("lower_left", "lower_right", "upper_right", "upper_left")


def read_shape(node: Node, limit: Length) -> Shape:
    """Return the outline as it was measured; no side longer than `limit`.

    Raises: Refusal with the path of what is missing, unknown or absurd.
    """
    node.demand("kind")
    kind = node.choice("kind", SHAPE_KINDS, "")
    return _READERS[kind](node, limit)


def _sizes(node: Node, limit: Length, *names: str) -> dict[str, Typed]:
    return {name: node.length(name, limit=limit) for name in names}


def _rectangle(node: Node, limit: Length) -> Shape:
    node.only("kind", "width", "height")
    return Shape(kind="rectangle", sizes=_sizes(node, limit, "width", "height"))


def _l(node: Node, limit: Length) -> Shape:
    node.only("kind", "width", "height", "cut_width", "cut_height", "corner")
    return Shape(
        kind="l",
        sizes=_sizes(node, limit, "width", "height", "cut_width", "cut_height"),
        corner=node.choice("corner", L_CORNERS, "upper_right"),
    )


def _u(node: Node, limit: Length) -> Shape:
    names = ("width", "height", "cut_left", "cut_width", "cut_height")
    node.only("kind", *names)
    return Shape(kind="u", sizes=_sizes(node, limit, *names))


def _run(node: Node, limit: Length) -> Shape:
    node.only("kind", "sides", "corners")
    sides = _lengths(node, "sides", limit, most=60)
    corners = tuple(
        _angle(node, index, value)
        for index, value in enumerate(node.items("corners", most=60))
    )
    if len(sides) < 3:
        raise node.refuse("sides", "A run of sides has at least three sides.")
    if len(corners) not in (len(sides), len(sides) - 1):
        raise node.refuse(
            "corners",
            f"{len(sides)} sides have {len(sides)} corners (the last may be left out), "
            f"not {len(corners)}.",
        )
    return Shape(kind="run", sides=sides, corners=corners)


def _angle(node: Node, index: int, value: object) -> Fraction:
    name = f"corners[{index}]"
    holder = Node(value={name: value}, path=node.path, rules=node.rules)
    angle = holder.read(name, _degrees)
    if not 0 < angle < 360:
        raise node.refuse(name, "A corner is between 0 and 360 degrees, inside.")
    return angle


def _degrees(text: str) -> Fraction:
    return parse_number(text.replace("°", ""))


def _lengths(
    node: Node, name: str, limit: Length, *, most: int
) -> tuple[Typed, ...]:  # fmt: skip
    found = []
    for index, value in enumerate(node.items(name, most=most)):
        inner = f"{name}[{index}]"
        holder = Node(value={inner: value}, path=node.path, rules=node.rules)
        found.append(holder.length(inner, limit=limit))
    return tuple(found)


def _polygon(node: Node, limit: Length) -> Shape:
    node.only("kind", "points")
    points = node.points("points", limit=limit)
    if len(points) < 3:
        raise node.refuse("points", "A polygon has at least three corners.")
    return Shape(kind="polygon", points=points)


def _quadrilateral(node: Node, limit: Length) -> Shape:
    node.only("kind", "sides", "diagonal", "second_diagonal")
    sides = _lengths(node, "sides", limit, most=4)
    if len(sides) != 4:
        raise node.refuse("sides", "Four sides: bottom, right, top, left.")
    sizes = _sizes(node, limit, "diagonal")
    if node.has("second_diagonal"):
        sizes["second_diagonal"] = node.length("second_diagonal", limit=limit)
    return Shape(kind="quadrilateral", sides=sides, sizes=sizes)


def _wall_of(node: Node, limit: Length) -> Shape:
    node.only("kind", "floor", "side", "height")
    node.demand("side")
    return Shape(
        kind="wall_of",
        floor=node.name_text("floor", most=80),
        side=node.count("side", 0, least=0, most=200),
        sizes=_sizes(node, limit, "height"),
    )


_STAIR_SIZES = ("width", "going", "tile", "bed", "riser")


def _stairs(node: Node, limit: Length) -> Shape:
    """Return a flight: its rises from the bottom up, and what is laid on them."""
    node.only(
        "kind", "rises", "bottom", "landing", "nosing", "limit", "laid",
        "riser_build_up", *_STAIR_SIZES,
    )  # fmt: skip
    rises = _lengths(node, "rises", limit, most=MOST_RISERS)
    if len(rises) < 2:
        raise node.refuse(
            "rises", "Give the rises of a flight one after another, at least two."
        )
    sizes = _sizes(node, limit, *_STAIR_SIZES)
    for name in ("bottom", "landing"):
        sizes[name] = node.length(name, limit=limit, nothing=True)
    for name in ("nosing", "limit"):
        typed = node.maybe_length(name, limit=limit, nothing=True)
        sizes |= {name: typed} if typed else {}
    return Shape(
        kind="stairs",
        sides=rises,
        sizes=sizes,
        laid=node.choice("laid", ("tread", "riser"), "tread"),
        riser_build_up=node.text("riser_build_up", most=80),
    )


_READERS: dict[str, Callable[[Node, Length], Shape]] = {
    "rectangle": _rectangle,
    "run": _run,
    "l": _l,
    "u": _u,
    "polygon": _polygon,
    "quadrilateral": _quadrilateral,
    "wall_of": _wall_of,
    "stairs": _stairs,
}

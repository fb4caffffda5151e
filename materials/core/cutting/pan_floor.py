"""The floor to be sloped: the recess less its flat areas, checked and ready to fit."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from materials.core.cutting.pan_heights import Frame, Surface
from materials.core.cutting.pan_outlines import (
    Number,
    Point,
    Region,
    Ring,
    Segment,
    bounds,
    counter_clockwise,
    cross,
    is_inside,
    is_on,
    outer_rings,
    region_area,
    root,
    sides,
    whole,
)
from materials.core.cutting.pan_overlay import common, without
from materials.core.cutting.pan_records import (
    FlatBoard,
    Height,
    LinearDrain,
    PointDrain,
    Recess,
    Step,
)
from materials.core.errors import BadShape, OutOfRange
from materials.core.lengths import METRE, MM, Length
from materials.core.quantities import decimal_text, fixed_text


@dataclass(frozen=True, slots=True, kw_only=True)
class Floor:
    """What every way starts from; see `floor_of`.

    `region` is what slopes, `flats` the flat areas (both counter-clockwise, in the
    recess), `drain_points` one point or the drain's two ends.
    """

    recess: Recess
    ring: Ring
    flats: tuple[Ring, ...]
    region: Region
    drain_points: tuple[Point, ...]

    @property
    def area(self) -> Fraction:
        """The plan area that slopes, in square ticks."""
        return region_area(self.region)

    def words(self, ticks: Number) -> str:
        """Return a length for a sentence, to the nearest tick."""
        shown = whole(Fraction(ticks) / self.recess.scale)
        return Length(shown).text(self.recess.system, denominator=64)

    @property
    def metre(self) -> int:
        """How many of the job's ticks make a metre."""
        return METRE * self.recess.scale


def floor_of(recess: Recess) -> Floor:
    """Return the floor of a recess, checked.

    Raises: BadShape for an outline that is none, a flat area that covers the drain or
    leaves nothing; OutOfRange for a drain that does not lie on its side or in the
    recess. Each names its field.
    """
    ring = _checked(recess.outline, "recess")
    flats = []
    for index, flat in enumerate(recess.flats):
        flats.append(_checked(flat, f"flat[{index}]"))
    drain_points = _drain_points(recess, ring)
    _check_flats(ring, flats)
    region = without(ring, flats)
    if not region:
        raise BadShape("The flat areas leave nothing to slope.", field="flat")
    if any(not _touches(point, region) for point in drain_points):
        raise BadShape("A flat area covers the drain; move one of them.", field="flat")
    return Floor(
        recess=recess,
        ring=ring,
        flats=tuple(flats),
        region=region,
        drain_points=drain_points,
    )


def _checked(outline: tuple[Point, ...], field: str) -> Ring:
    try:
        return counter_clockwise(outline, name="The outline")
    except BadShape as refusal:
        raise refusal.at(field) from refusal


def _check_flats(ring: Ring, flats: list[Ring]) -> None:
    for index, flat in enumerate(flats):
        if not common(flat, ring):
            raise BadShape(
                "The flat area lies outside the recess.", field=f"flat[{index}]"
            )
        for other, earlier in enumerate(flats[:index]):
            if common(flat, earlier):
                raise BadShape(
                    f"The flat area overlaps flat area {other}; draw them as one.",
                    field=f"flat[{index}]",
                )


def _touches(point: Point, region: Region) -> bool:
    """Return whether a point lies in a region or on its border."""
    if any(is_on(point, side) for ring in region for side in sides(ring)):
        return True
    return sum(is_inside(point, ring) for ring in region) % 2 == 1


def _drain_points(recess: Recess, ring: Ring) -> tuple[Point, ...]:
    drain = recess.drain
    if isinstance(drain, PointDrain):
        if not is_inside(drain.at, ring) or any(
            is_on(drain.at, side) for side in sides(ring)
        ):
            raise OutOfRange(
                "The drain must lie inside the recess, clear of its sides.",
                field="drain.at",
            )
        return (drain.at,)
    count = len(recess.outline)
    if not 0 <= drain.side < count:
        raise OutOfRange(
            f"Side {drain.side} does not exist; the recess has sides 0 to {count - 1}.",
            field="drain.side",
        )
    start, end = sides(recess.outline)[drain.side]
    length = root((end[0] - start[0]) ** 2 + (end[1] - start[1]) ** 2)
    return _along(recess, drain, (start, end), length)


def _along(
    recess: Recess, drain: LinearDrain, side: Segment, length: Fraction
) -> tuple[Point, ...]:
    start, end = side
    first = Fraction(drain.start.ticks)
    last = first + drain.length.ticks
    if drain.length.ticks <= 0:
        raise OutOfRange("The drain needs a length above zero.", field="drain.length")
    if first < 0 or last > _nearly(length, last, MM * recess.scale):
        side_length, reach = (
            Length(whole(one / recess.scale)) for one in (length, last)
        )
        raise OutOfRange(
            f"The drain ends {reach.text(recess.system)} along a side of "
            f"{side_length.text(recess.system)}; shorten or move it.",
            field="drain.length",
        )
    return tuple(
        end
        if place >= length
        else (
            start[0] + (end[0] - start[0]) * place / length,
            start[1] + (end[1] - start[1]) * place / length,
        )
        for place in (first, last)
    )


def _nearly(length: Fraction, last: Fraction, hair: int) -> Fraction:
    """Return the side's length, or the drain's end when they agree to a millimetre.

    Only for a side out of square: it has an irrational length, which no one can type.
    """
    is_typed = length.denominator == 1
    return length if is_typed or abs(last - length) > hair else last


def drain_frame(floor: Floor) -> Frame:
    """Return the frame of a linear drain's side."""
    drain = floor.recess.drain
    if not isinstance(drain, LinearDrain):
        raise OutOfRange("A point drain has no side.", field="drain.kind")
    a, b = sides(floor.recess.outline)[drain.side]
    if floor.recess.outline != floor.ring:
        a, b = b, a
    return Frame(origin=a, along=(b[0] - a[0], b[1] - a[1]))


def is_full_width(floor: Floor) -> bool:
    """Return whether a linear drain is as wide as its side of the recess."""
    drain = floor.recess.drain
    if not isinstance(drain, LinearDrain):
        return False
    length = drain_frame(floor).length
    reach = Fraction(drain.length.ticks)
    hair = MM * floor.recess.scale
    return drain.start.ticks == 0 and reach >= min(length, _nearly(length, reach, hair))


def corner_number(floor: Floor, corner: Point) -> int | None:
    """Return which corner of the recess a point is, or None."""
    outline = floor.recess.outline
    return outline.index(corner) if corner in outline else None


def side_number(floor: Floor, border: Segment) -> int | None:
    """Return which side of the recess a border of the sloped floor lies on, or None.

    Sides are numbered as the outline gives them: side i runs from corner i.
    """
    a, b = border
    for index, side in enumerate(sides(floor.recess.outline)):
        if is_on(a, side) and is_on(b, side):
            return index
    return None


def border_name(floor: Floor, border: Segment) -> str:
    """Return what a border of the floor is called: `wall 2` or a flat's edge."""
    number = side_number(floor, border)
    if number is not None:
        return f"wall {number}"
    for index, flat in enumerate(floor.flats):
        if border in shared_edges(floor, flat):
            return f"edge of flat {index}"
    return "edge"


def parted_reason(floor: Floor) -> str | None:
    """Return why a floor in several parts cannot drain, or None when it is one."""
    if len(outer_rings(floor.region)) == 1:
        return None
    return (
        "the flat area parts the floor in two and only one part has the drain; "
        "move the flat area to a wall"
    )


def shared_edges(floor: Floor, flat: Ring) -> tuple[Segment, ...]:
    """Return the borders between the sloped floor and one flat area."""
    return tuple(
        (a, b)
        for ring in floor.region
        for a, b in sides(ring)
        if any(
            not cross(side[0], side[1], a) and is_on(_middle(a, b), side)
            for side in sides(flat)
        )
    )


def _middle(a: Point, b: Point) -> Point:
    return Fraction(a[0] + b[0]) / 2, Fraction(a[1] + b[1]) / 2


def heights(
    floor: Floor, surface: Surface, board: FlatBoard | None
) -> tuple[Height, ...]:
    """Return the floor's height at every corner of the recess and drain end.

    Shape: corners in the outline's own order, then the drain's ends. A corner on a
    flat area has the board's thickness, or None when the area is left as it is.
    """
    found = []
    for index, corner in enumerate(floor.recess.outline):
        ticks: Fraction | None = None
        if _touches(corner, floor.region):
            ticks = surface.at(corner)
        elif board is not None:
            ticks = Fraction(board.thickness.ticks)
        found.append(Height(where="corner", index=index, at=corner, ticks=ticks))
    for index, point in enumerate(floor.drain_points):
        found.append(
            Height(where="drain", index=index, at=point, ticks=surface.at(point))
        )
    return tuple(found)


def board_steps(
    floor: Floor, surface: Surface, board: FlatBoard | None
) -> tuple[Step, ...]:
    """Return the steps from the sloped floor up to the board of each flat area."""
    if board is None:
        return ()
    top = board.thickness.ticks
    return tuple(
        Step(
            where=f"flat {index}",
            start=a,
            end=b,
            at_start=top - surface.at(a),
            at_end=top - surface.at(b),
        )
        for index, flat in enumerate(floor.flats)
        for a, b in shared_edges(floor, flat)
    )


def left_cautions(floor: Floor, board: FlatBoard | None) -> tuple[str, ...]:
    """Return a caution when flat areas are left without a board under them."""
    if not floor.flats or board is not None:
        return ()
    return ("The flat area is left as it is; what carries it is not in this price.",)


def sunk_reason(floor: Floor, surface: Surface, board: FlatBoard | None) -> str | None:
    """Return why a board would be a pit: it lies below the slope beside it."""
    steps = board_steps(floor, surface, board)
    deep = -min((min(one.at_start, one.at_end) for one in steps), default=0)
    if deep <= 0:
        return None
    return (
        f"the board would lie {floor.words(deep)} below the slope beside it, and water "
        "would stand on it"
    )


def fall_text(slope: Fraction) -> str:
    """Return a slope for a sentence: `2.08 % (1 in 48)`.

    Rounds: half up, two decimals, and one decimal of the run.
    """
    percent = fixed_text(slope * 100, places=2)
    if slope <= 0:
        return f"{percent} %"
    return f"{percent} % (1 in {decimal_text(1 / slope, places=1)})"


def box_of(region: Region) -> tuple[Fraction, Fraction, Fraction, Fraction]:
    """Return a region's bounds as fractions."""
    x0, y0, x1, y1 = bounds(region)
    return Fraction(x0), Fraction(y0), Fraction(x1), Fraction(y1)

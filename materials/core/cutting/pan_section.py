"""A way cut through along its fall: what is seen from the side, in plain shapes.

The section runs from the drain straight uphill (linear) or level through a point
drain. Distances along it are ticks from the drain, heights ticks above the substrate.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from materials.core.cutting.pan_floor import Floor, drain_frame
from materials.core.cutting.pan_heights import Frame, PanBowl
from materials.core.cutting.pan_outlines import (
    Number,
    Point,
    Region,
    sides,
)
from materials.core.cutting.pan_records import LinearDrain, PanPiece, Way

Stretch = tuple[Fraction, Fraction]
Profile = tuple[tuple[Fraction, Fraction], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CutPan:
    """One pan in the section: its whole profile and the profile that is kept."""

    whole: Profile
    kept: tuple[Profile, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """What the section shows: pans, boards, bed, and where the drain is."""

    pans: tuple[CutPan, ...]
    boards: tuple[Profile, ...]
    bed: tuple[Profile, ...]
    drain: Fraction
    marks: Profile
    """The places whose heights are lettered."""


def section_of(floor: Floor, way: Way) -> Section:
    """Return the section of a way along its fall, exactly."""
    frame = section_frame(floor)
    floor_stretches = stretches(frame.local_region(floor.region))
    pans = tuple(
        cut for piece in way.pieces if (cut := _cut_pan(way, piece, frame)) is not None
    )
    boards = tuple(
        _box(stretch, Fraction(piece.board.thickness.ticks))
        for piece in way.boards
        for stretch in stretches(frame.local_region((piece.outline,)))
    )
    bed = tuple(
        _solid(way, frame, stretch)
        for stretch in floor_stretches
        if way.bed is not None
    )
    return Section(
        pans=pans,
        boards=boards,
        bed=bed,
        drain=Fraction(0),
        marks=_marks(way, frame, floor_stretches),
    )


def section_frame(floor: Floor) -> Frame:
    """Return the frame whose y axis is the line of the section, the drain at 0, 0."""
    if isinstance(floor.recess.drain, LinearDrain):
        side = drain_frame(floor)
        first, last = floor.drain_points
        middle = (Fraction(first[0] + last[0]) / 2, Fraction(first[1] + last[1]) / 2)
        return Frame(origin=middle, along=side.along)
    return Frame(origin=floor.drain_points[0], along=(0, -1))


def stretches(region: Region) -> tuple[Stretch, ...]:
    """Return where the line x = 0 lies inside a region, from low to high.

    Method: crossings of all sides with the line, in pairs; a side along the line is
    looked at from its left.
    """
    places = sorted(
        _crossing(a, b)
        for ring in region
        for a, b in sides(ring)
        if (a[0] > 0) != (b[0] > 0)
    )
    pairs = zip(places[::2], places[1::2], strict=True)
    return tuple((low, high) for low, high in pairs if low < high)


def _crossing(a: Point, b: Point) -> Fraction:
    part = Fraction(a[0]) / (a[0] - b[0])
    return Fraction(a[1]) + part * (b[1] - a[1])


def _height(way: Way, frame: Frame, y: Fraction) -> Fraction:
    return way.surface.at(frame.outside((0, y)))


def _breaks(way: Way, stretch: Stretch) -> list[Fraction]:
    """Return where the floor's profile bends inside a stretch, ends included."""
    low, high = stretch
    places = {low, high, Fraction(0)}
    start = getattr(way.surface, "start", None)
    if start:
        places.add(start)
    return sorted(place for place in places if low <= place <= high)


def _solid(way: Way, frame: Frame, stretch: Stretch) -> Profile:
    """Return the floor's solid over a stretch, the strip's step included."""
    start = getattr(way.surface, "start", None)
    top: list[tuple[Fraction, Fraction]] = []
    for place in _breaks(way, stretch):
        if start and place == start and place > stretch[0]:
            top.append((place, _height(way, frame, stretch[0])))
        top.append((place, _height(way, frame, place)))
    return _closed(top)


def _closed(top: list[tuple[Fraction, Fraction]]) -> Profile:
    zero = Fraction(0)
    return (*top, (top[-1][0], zero), (top[0][0], zero))


def _box(stretch: Stretch, height: Fraction) -> Profile:
    return _closed([(stretch[0], height), (stretch[1], height)])


def _cut_pan(way: Way, piece: PanPiece, frame: Frame) -> CutPan | None:
    whole = stretches(frame.local_region((piece.corners,)))
    kept = stretches(frame.local_region(piece.keep))
    if not whole or not kept:
        return None
    if isinstance(way.surface, PanBowl):
        profile = _solid(way, frame, whole[0])
    else:
        profile = _pan_profile(piece, whole[0])
    return CutPan(
        whole=profile,
        kept=tuple(_solid(way, frame, stretch) for stretch in kept),
    )


def _pan_profile(piece: PanPiece, stretch: Stretch) -> Profile:
    """Return a linear pan's own profile, strip and all, before it is cut."""
    pan = piece.pan
    low, high = stretch
    thin, thick = Fraction(pan.thin.ticks), Fraction(pan.thick.ticks)
    top: list[tuple[Fraction, Fraction]] = []
    if pan.strip:
        strip = low + pan.strip.ticks
        top = [(low, thin - pan.strip_drop.ticks), (strip, thin - pan.strip_drop.ticks)]
        top.append((strip, thin))
    else:
        top.append((low, thin))
    return _closed([*top, (high, thick)])


def _marks(way: Way, frame: Frame, found: tuple[Stretch, ...]) -> Profile:
    places = {place for stretch in found for place in _breaks(way, stretch)}
    return tuple((place, _height(way, frame, place)) for place in sorted(places))


def span(section: Section) -> tuple[Number, Number, Number]:
    """Return least and greatest distance, and greatest height, of a section."""
    profiles = [
        *(pan.whole for pan in section.pans),
        *section.boards,
        *section.bed,
    ]
    xs = [point[0] for profile in profiles for point in profile]
    ys = [point[1] for profile in profiles for point in profile]
    return min([*xs, section.drain]), max([*xs, section.drain]), max(ys)

"""The surfaces of a sloped floor, and the frame that a drain side sets up.

Heights and places are ticks, exactly: a floor's height is asked for at a point of the
recess, whichever way the pan lies in it.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from materials.core.cutting.pan_outlines import (
    Number,
    Point,
    Region,
    Ring,
    cross,
    root,
    sides,
    tidy,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """A drain side as an axis: x along it, seen looking uphill, y straight uphill.

    A side square to the recess's axes gives an exact frame; one out of square has an
    irrational length, taken to 2^-32 (see `root`).
    """

    origin: Point
    along: Point

    @property
    def length(self) -> Fraction:
        """The length of the side that gave the frame."""
        return root(self.along[0] ** 2 + self.along[1] ** 2)

    @property
    def turn(self) -> int:
        """How a pan is turned here: the nearest quarter turn, counter-clockwise."""
        dx, dy = Fraction(self.along[0]), Fraction(self.along[1])
        if abs(dx) >= abs(dy):
            return 0 if dx > 0 else 180
        return 90 if dy > 0 else 270

    def local(self, point: Point) -> Point:
        """Return a point of the recess in this frame."""
        dx, dy = self.along
        px, py = point[0] - self.origin[0], point[1] - self.origin[1]
        length = self.length
        return (
            tidy((px * dx + py * dy) / length),
            tidy((dx * py - dy * px) / length),
        )

    def outside(self, point: Point) -> Point:
        """Return a point of this frame in the recess."""
        dx, dy = self.along
        x, y = point
        # The inverse of `local` to the last digit, even where the length is cut.
        part = self.length / (dx * dx + dy * dy)
        return (
            tidy(self.origin[0] + (x * dx - y * dy) * part),
            tidy(self.origin[1] + (x * dy + y * dx) * part),
        )

    def local_region(self, region: Region) -> Region:
        """Return a region of the recess in this frame."""
        return tuple(tuple(self.local(point) for point in ring) for ring in region)

    def outside_region(self, region: Region) -> Region:
        """Return a region of this frame in the recess."""
        return tuple(tuple(self.outside(point) for point in ring) for ring in region)


@dataclass(frozen=True, slots=True, kw_only=True)
class Plane:
    """A floor that falls one way: flat on the strip, then straight up.

    `base` is the height where the slope begins, `start` how far uphill that is, and
    `strip_height` the height of the flat part below it.
    """

    frame: Frame
    base: Fraction
    slope: Fraction
    start: Fraction
    strip_height: Fraction

    def at(self, point: Point) -> Fraction:
        """Return the height at a point of the recess."""
        return self.at_local(self.frame.local(point)[1])

    def at_local(self, y: Number) -> Fraction:
        """Return the height so far uphill of the drain side."""
        if y < self.start:
            return self.strip_height
        return self.base + self.slope * (y - self.start)


@dataclass(frozen=True, slots=True, kw_only=True)
class PanBowl:
    """A factory point pan: four planes from a level rim down to the drain.

    `runs` are the runs to the pan's right, far, left and near rims as it lies.
    """

    drain: Point
    base: Fraction
    rise: Fraction
    runs: tuple[Fraction, Fraction, Fraction, Fraction]

    def at(self, point: Point) -> Fraction:
        """Return the height at a point of the recess."""
        dx, dy = point[0] - self.drain[0], point[1] - self.drain[1]
        parts = [
            Fraction(reach) / run
            for reach, run in zip((dx, dy, -dx, -dy), self.runs, strict=True)
            if run > 0 and reach > 0
        ]
        return self.base + self.rise * max(parts, default=Fraction(0))


@dataclass(frozen=True, slots=True, kw_only=True)
class RimBowl:
    """A floor from a level rim all round to a point drain: one plane a wall.

    `rim` is counter-clockwise, and every wall is seen straight from the drain.
    """

    drain: Point
    base: Fraction
    rise: Fraction
    rim: Ring

    def at(self, point: Point) -> Fraction:
        """Return the height at a point of the recess."""
        if point == self.drain:
            return self.base
        for a, b in sides(self.rim):
            whole = cross(self.drain, a, b)
            if cross(self.drain, a, point) >= 0 and cross(self.drain, point, b) >= 0:
                part = 1 - Fraction(cross(point, a, b)) / whole
                return self.base + self.rise * part
        return self.base + self.rise


Surface = Plane | PanBowl | RimBowl

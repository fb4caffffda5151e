"""Panels that are no rectangles: an L, a gable, and the ways to cut them.

The saw and the snap make rectangles. An L is cut as its bounding rectangle with the
notch taken out afterwards, or as two rectangles with one more seam. Two equal right
triangles come out of one rectangle.
"""

from __future__ import annotations

from dataclasses import dataclass

from materials.core.errors import BadShape

Box = tuple[int, int, int, int]

NOTCH = "notch out with a saw"
SLOPE = "cut along the slope"
PAIR = "cut corner to corner into two triangles"


@dataclass(frozen=True, slots=True, kw_only=True)
class ShapeWay:
    """One way to make a shape: rectangles to cut, seams between them, work after."""

    boxes: tuple[Box, ...]
    seam: int
    work: tuple[str, ...] = ()


def l_shape_ways(
    width: int, height: int, *, notch_width: int, notch_height: int
) -> list[ShapeWay]:
    """Return the ways to make a rectangle with its upper right corner cut out.

    Shape: the bounding rectangle first, then two rectangles with an upright and with
    a level seam; other corners are the same, mirrored.
    Raises: BadShape for a notch as large as the rectangle, or none.

    >>> [way.seam for way in l_shape_ways(40, 90, notch_width=10, notch_height=30)]
    [0, 60, 30]
    """
    if not (0 < notch_width < width and 0 < notch_height < height):
        raise BadShape("The notch must be smaller than the panel both ways.")
    left, low = width - notch_width, height - notch_height
    return [
        ShapeWay(boxes=((0, 0, width, height),), seam=0, work=(NOTCH,)),
        ShapeWay(boxes=((0, 0, left, height), (left, 0, notch_width, low)), seam=low),
        ShapeWay(boxes=((0, 0, width, low), (0, low, left, notch_height)), seam=left),
    ]


def gable_ways(width: int, *, eaves: int, ridge: int, at: int) -> list[ShapeWay]:
    """Return the ways to make a wall that rises to a point at a distance from the left.

    Shape: the bounding rectangle first; then the wall below the eaves and the two
    triangles above, which share one rectangle when the ridge is in the middle.
    Raises: BadShape when the ridge is not above the eaves or not over the wall.
    """
    if not (0 < eaves < ridge and 0 <= at <= width and width > 0):
        raise BadShape("The ridge must stand over the wall and above its eaves.")
    rise = ridge - eaves
    low = (0, 0, width, eaves)
    ways = [ShapeWay(boxes=((0, 0, width, ridge),), seam=0, work=(SLOPE,))]
    if 2 * at == width:
        pair = (0, eaves, at, rise)
        ways.append(ShapeWay(boxes=(low, pair), seam=width + rise, work=(PAIR,)))
    sides = [
        box for box in ((0, eaves, at, rise), (at, eaves, width - at, rise)) if box[2]
    ]
    seam = width + (rise if len(sides) == 2 else 0)
    ways.append(ShapeWay(boxes=(low, *sides), seam=seam, work=(SLOPE,)))
    return ways

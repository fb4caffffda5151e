"""Ways to divide a wall that is larger than a sheet: where its seams can run.

Every way is a list of rectangles that cover the wall: boards upright or on their
side, or a band of each, with the narrow rest on one side, in the middle or shared out.
Ways with a board too narrow, a seam through something that must stay whole, a seam
off the studs or four corners in one point are left out, as the rules ask.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from itertools import pairwise

Box = tuple[int, int, int, int]
"""x, y, width, height from the wall's lower left."""

Layout = tuple[Box, ...]

MOST_LAYOUTS = 80


@dataclass(frozen=True, slots=True, kw_only=True)
class Wall:
    """A rectangle to board, with what no seam may run through.

    `whole` are rectangles that a seam must not cross: a niche, a valve. `studs` are
    the x of the studs; upright seams keep to them when the rules say so. `ways` adds
    ways worked out elsewhere, such as for an L-shape or a gable.
    """

    name: str
    width: int
    height: int
    whole: tuple[Box, ...] = ()
    studs: tuple[int, ...] = ()
    ways: tuple[Layout, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SeamRules:
    """What a division must keep to; `most` is the largest panel that can be carried in.

    `least` is the narrowest panel, `stagger` forbids four corners in one point.
    """

    least: int = 0
    most: tuple[int, int] | None = None
    on_studs: bool = False
    stagger: bool = False


def naive_layout(wall: Wall, sheet: tuple[int, int]) -> Layout:
    """Return whole boards upright from the left, what is above them cut on top."""
    columns = _from_start(wall.width, sheet[0])
    rows = _from_start(wall.height, sheet[1])
    return _grid(columns, [rows])


def layouts(wall: Wall, sheet: tuple[int, int], rules: SeamRules) -> list[Layout]:
    """Return the ways to divide a wall for one size of sheet, shortest seams first.

    Shape: each way covers the wall without overlap; the naive one is among them when
    it keeps to the rules. Empty when the rules leave nothing.
    Method: a list of patterns that the trade uses, not all divisions.
    """
    short, long = sheet
    if rules.most is not None:
        short, long = min(short, min(rules.most)), min(long, max(rules.most))
    found: dict[Layout, None] = dict.fromkeys(wall.ways)
    found.update(dict.fromkeys(_upright(wall, short, long)))
    found.update(dict.fromkeys(_level(wall, short, long)))
    found.update(dict.fromkeys(_banded(wall, short, long)))
    kept = [way for way in found if _is_allowed(way, wall, rules, (short, long))]
    kept.sort(key=lambda way: (seam_length(way, wall), len(way)))
    return kept[:MOST_LAYOUTS]


def seam_length(layout: Layout, wall: Wall) -> int:
    """Return the length of all seams of a way."""
    around = sum(width + height for _x, _y, width, height in layout)
    return around - wall.width - wall.height if len(layout) > 1 else 0


def _from_start(total: int, most: int) -> tuple[int, ...]:
    full, rest = divmod(total, most)
    return (most,) * full + ((rest,) if rest else ())


def _splits(total: int, most: int) -> list[tuple[int, ...]]:
    """Return ways to share a length out in parts no longer than `most`."""
    plain = _from_start(total, most)
    found = [plain, plain[::-1]]
    count = len(plain)
    if count > 1:
        even, over = divmod(total, count)
        found.append((even + 1,) * over + (even,) * (count - over))
        rest = plain[-1]
        last = most + rest
        found.append((*plain[:-2], last - last // 2, last // 2))
        found.append((last - last // 2, *plain[1:-1], last // 2))
        for quarter in (1, 2, 3):
            first = most * quarter // 4
            if total > first:
                after = _from_start(total - first, most)
                found += [(first, *after), (*after[::-1], first)]
    return list(dict.fromkeys(found))


def _grid(columns: tuple[int, ...], rows: list[tuple[int, ...]]) -> Layout:
    """Return columns, each divided by one of the row divisions in turn."""
    boxes = []
    x = 0
    for at, width in enumerate(columns):
        y = 0
        for height in rows[at % len(rows)]:
            boxes.append((x, y, width, height))
            y += height
        x += width
    return tuple(boxes)


def _turned(layout: Layout) -> Layout:
    return tuple((y, x, height, width) for x, y, width, height in layout)


def _upright(wall: Wall, short: int, long: int) -> list[Layout]:
    found = []
    across = _splits(wall.width, short)
    if wall.studs:
        across += _on_studs(wall, short)
    for columns in across:
        for rows in _splits(wall.height, long):
            found.append(_grid(columns, [rows]))
            if len(rows) > 1 and len(columns) > 1:
                found.append(_grid(columns, [rows, rows[::-1]]))
        if wall.height <= long:
            found += _rest_halved(columns, wall.height)
    return found


def _rest_halved(columns: tuple[int, ...], height: int) -> list[Layout]:
    """Return the grid with its narrowest column cut once across, in two ways."""
    if len(columns) < 2:
        return []
    narrow = min(range(len(columns)), key=lambda at: columns[at])
    found = []
    for low in (height // 2, height // 3):
        rows: list[tuple[int, ...]] = [(height,)] * len(columns)
        rows[narrow] = (low, height - low)
        found.append(_grid(columns, rows))
    return found


def _on_studs(wall: Wall, short: int) -> list[tuple[int, ...]]:
    """Return divisions whose seams all lie on studs, from the left and the right."""
    found = []
    for studs, mirrored in ((sorted(wall.studs), False), (None, True)):
        places = studs or sorted(wall.width - stud for stud in wall.studs)
        cuts = [0]
        while wall.width - cuts[-1] > short:
            reach = [one for one in places if cuts[-1] < one <= cuts[-1] + short]
            if not reach:
                break
            cuts.append(reach[-1])
        else:
            parts = tuple(b - a for a, b in pairwise([*cuts, wall.width]))
            found.append(parts[::-1] if mirrored else parts)
    return found


def _level(wall: Wall, short: int, long: int) -> list[Layout]:
    """Return boards on their side, row upon row."""
    found = []
    for rows in _splits(wall.height, short):
        for columns in _splits(wall.width, long):
            found.append(_turned(_grid(rows, [columns])))
            if len(rows) > 1 and len(columns) > 1:
                found.append(_turned(_grid(rows, [columns, columns[::-1]])))
    return found


def _banded(wall: Wall, short: int, long: int) -> list[Layout]:
    """Return a band of upright boards with a band on its side above or below."""
    found = []
    bands = {long, wall.height - short, wall.height - short // 2, wall.height // 2}
    for low in sorted(bands):
        high = wall.height - low
        if not (0 < low <= long and 0 < high <= short):
            continue
        for columns in _splits(wall.width, short):
            for beside in _splits(wall.width, long)[:3]:
                upright = _grid(columns, [(low,)])
                level = _grid(beside, [(high,)])
                found.append(upright + _raised(level, low))
                found.append(level + _raised(upright, high))
    return found


def _raised(layout: Layout, by: int) -> Layout:
    return tuple((x, y + by, width, height) for x, y, width, height in layout)


def _is_allowed(
    layout: Layout, wall: Wall, rules: SeamRules, panel: tuple[int, int]
) -> bool:
    if any(min(box[2:]) < rules.least for box in layout):
        return False
    if rules.most is not None and any(
        min(box[2:]) > panel[0] or max(box[2:]) > panel[1] for box in layout
    ):
        return False
    if any(_crosses(box, whole) for box in layout for whole in wall.whole):
        return False
    if rules.on_studs and wall.studs:
        edges = {0, wall.width, *wall.studs}
        if any(box[0] not in edges for box in layout):
            return False
    return not (rules.stagger and _corners_meet(layout))


def _crosses(box: Box, whole: Box) -> bool:
    """Return whether a panel covers a part of something, but not all of it."""
    x, y, width, height = box
    left, low, wide, high = whole
    apart = (
        x >= left + wide or left >= x + width or y >= low + high or low >= y + height
    )
    inside = (
        x <= left and y <= low and left + wide <= x + width and low + high <= y + height
    )
    return not (apart or inside)


def _corners_meet(layout: Layout) -> bool:
    corners = Counter(
        corner
        for x, y, width, height in layout
        for corner in (
            (x, y),
            (x + width, y),
            (x, y + height),
            (x + width, y + height),
        )
    )
    return any(count == 4 for count in corners.values())


def board_width(
    width: int, *, thickness: int, butts_left: bool, butts_right: bool
) -> int:
    """Return how wide a wall's boards are between the studs of its corners.

    At a corner one wall's board runs past to the framing and the other one butts
    against its face, which costs the second one the thickness of a board.

    Units: `width` from framing to framing.
    """
    return width - thickness * (int(butts_left) + int(butts_right))

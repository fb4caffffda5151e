"""Published hours for setting tile, typed in as data, and how a tile finds its row.

Hours are for one square metre and include the adhesive and the grouting, as the
compositions are published. Bigger tile in a small room is slower, not faster: both
hours and loss come from cuts, which is why floors stand by the size of the room.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from materials.core.areas import TICKS2_PER_SQ_MM, Area
from materials.core.lengths import NOTHING
from materials.core.need import TileFacts
from materials.core.quantities import decimal_text
from materials.core.sources import Source

SINAPI = Source(
    title="SINAPI, Cadernos Técnicos: Revestimentos Cerâmicos",
    edition="AF_02/2023, coefficients of 09/2026",
    place="codes 87246–87275 and 104588–104619",
)

ROOMS = ("under 5 m²", "5 to 10 m²", "over 10 m²")
_ROOM_LIMITS = (Area.sq_m_of(Fraction(5)), Area.sq_m_of(Fraction(10)))
HEIGHTS = ("full height", "half height")

# Floors: size in cm and finish -> (setter, helper) for each of ROOMS.
FLOOR_ROWS: dict[tuple[int, str], tuple[tuple[str, str], ...]] = {
    (35, "plain"): (("0.6797", "0.1893"), ("0.4739", "0.1610"), ("0.2411", "0.1290")),
    (35, "diagonal"): (
        ("1.0128", "0.2351"),
        ("0.5998", "0.1784"),
        ("0.3037", "0.1376"),
    ),
    (45, "plain"): (("0.8064", "0.2068"), ("0.5143", "0.1666"), ("0.2537", "0.1308")),
    (45, "diagonal"): (
        ("1.5126", "0.3039"),
        ("0.7138", "0.1940"),
        ("0.3428", "0.1430"),
    ),
    (60, "plain"): (("0.8825", "0.2172"), ("0.5726", "0.1746"), ("0.2892", "0.1356")),
    (80, "plain"): (("0.9694", "0.2292"), ("0.6269", "0.1821"), ("0.3037", "0.1376")),
    (60, "porcelain"): (
        ("1.1136", "0.2490"),
        ("0.8038", "0.2064"),
        ("0.5203", "0.1674"),
    ),
    (80, "porcelain"): (
        ("1.2005", "0.2610"),
        ("0.8581", "0.2139"),
        ("0.5348", "0.1694"),
    ),
}

# Walls: width × height in cm and finish -> (setter, helper) for each of HEIGHTS.
WALL_ROWS: dict[tuple[int, int, str], tuple[tuple[str, str], ...]] = {
    (20, 20, "plain"): (("0.5341", "0.2686"), ("0.6794", "0.3089")),
    (20, 20, "diagonal"): (("0.6232", "0.2933"), ("0.8090", "0.3449")),
    (25, 35, "plain"): (("0.6488", "0.3004"), ("0.7960", "0.3413")),
    (33, 45, "plain"): (("0.6970", "0.3138"), ("0.8882", "0.3669")),
    (60, 60, "plain"): (("0.7407", "0.3259"), ("0.7762", "0.3358")),
}
MOSAIC_ROW = (("1.12", "0.3111"), ("1.4246", "0.3957"))

# Skirting 7 cm high: tile size in cm -> (setter, helper) for one metre.
SKIRTING_ROWS: dict[int, tuple[str, str]] = {
    35: ("0.0726", "0.0286"),
    45: ("0.0764", "0.0296"),
    60: ("0.0871", "0.0326"),
    80: ("0.0934", "0.0343"),
}

PORCELAIN_MORE = Fraction("0.2311")
"""Porcelain takes so much longer than glazed tile in all six published pairs."""

PATTERN_FACTOR = Fraction(13, 10)
PATTERN_SOURCE = Source.shop_practice("interlocking patterns take about a third longer")
PLAIN_PATTERNS = ("", "stack", "running_bond")


@dataclass(frozen=True, slots=True, kw_only=True)
class Output:
    """Hours for one unit, the row they were read from, and what was read into it."""

    setter: Fraction
    helper: Fraction
    row: str
    source: Source
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """What the hours of setting depend on beside the area."""

    tile: TileFacts | None
    room: Area
    half_height: bool = False
    porcelain: bool = False
    pattern: str = ""
    diagonal: bool = False


def floor_output(setting: Setting) -> Output:
    """Return the published hours for one square metre of floor.

    The row is the smallest published tile not smaller in face than the one set; a
    larger tile takes the largest row. A mosaic takes the published wall row, since
    none is published for floors.
    """
    if _is_mosaic(setting.tile):
        return _patterned(_mosaic(setting, floor=True), setting)
    sizes = sorted({size for size, _ in FLOOR_ROWS})
    size = _size(setting.tile, [(side, side) for side in sizes])[0]
    room = sum(setting.room >= limit for limit in _ROOM_LIMITS)
    notes: list[str] = []
    setter, helper = _pair(FLOOR_ROWS[size, "plain"][room])
    finish = "plain"
    if setting.porcelain:
        finish = "porcelain"
        setter, helper = _porcelain(size, room, notes)
    if setting.diagonal:
        finish += ", diagonal"
        setter, helper = _diagonal(size, room, setter, notes)
    output = Output(
        setter=setter,
        helper=helper,
        row=f"floor {size} × {size} cm, {finish}, room {ROOMS[room]}",
        source=SINAPI,
        notes=tuple(notes),
    )
    return _patterned(output, setting)


def wall_output(setting: Setting) -> Output:
    """Return the published hours for one square metre of wall.

    The row is chosen as for floors; walls tiled to part of their height are slower.
    """
    if _is_mosaic(setting.tile):
        return _patterned(_mosaic(setting, floor=False), setting)
    sizes = [(wide, high) for wide, high, finish in WALL_ROWS if finish == "plain"]
    wide, high = _size(setting.tile, sizes)
    height = int(setting.half_height)
    notes: list[str] = []
    setter, helper = _pair(WALL_ROWS[wide, high, "plain"][height])
    finish = "plain"
    if setting.diagonal:
        finish = "diagonal"
        plain = _pair(WALL_ROWS[20, 20, "plain"][height])
        turned = _pair(WALL_ROWS[20, 20, "diagonal"][height])
        setter, helper = (
            setter * turned[0] / plain[0],
            helper * turned[1] / plain[1],
        )
        if (wide, high) != (20, 20):
            notes.append("diagonal as published for 20 × 20 cm, taken in proportion")
    output = Output(
        setter=setter,
        helper=helper,
        row=f"wall {wide} × {high} cm, {finish}, {HEIGHTS[height]}",
        source=SINAPI,
        notes=tuple(notes),
    )
    return _patterned(output, setting)


def skirting_output(setting: Setting) -> Output:
    """Return the published hours for one metre of skirting 7 cm high."""
    size = _size(setting.tile, [(side, side) for side in SKIRTING_ROWS])[0]
    setter, helper = _pair(SKIRTING_ROWS[size])
    return Output(
        setter=setter, helper=helper, row=f"7 cm strip, tile {size} cm", source=SINAPI
    )


def _pair(row: tuple[str, str]) -> tuple[Fraction, Fraction]:
    return Fraction(row[0]), Fraction(row[1])


def _is_mosaic(tile: TileFacts | None) -> bool:
    return tile is not None and tile.chip_length > NOTHING


def _mosaic(setting: Setting, *, floor: bool) -> Output:
    height = int(setting.half_height)
    setter, helper = _pair(MOSAIC_ROW[height])
    note = ("published for walls, taken for this floor",) if floor else ()
    return Output(
        setter=setter,
        helper=helper,
        row=f"mosaic 2.5 and 5 cm, {HEIGHTS[height]}",
        source=SINAPI,
        notes=note,
    )


def _size(tile: TileFacts | None, sizes: list[tuple[int, int]]) -> tuple[int, int]:
    """Return the smallest size (cm) not smaller in face than the tile, or the last."""
    ordered = sorted(sizes, key=lambda size: size[0] * size[1])
    if tile is None:
        return ordered[0]
    face = Fraction(tile.length.by(tile.width).ticks2, 100 * TICKS2_PER_SQ_MM)
    for size in ordered:
        if face <= size[0] * size[1]:
            return size
    return ordered[-1]


def _porcelain(size: int, room: int, notes: list[str]) -> tuple[Fraction, Fraction]:
    row = FLOOR_ROWS.get((size, "porcelain"))
    if row is not None:
        return _pair(row[room])
    setter = _pair(FLOOR_ROWS[size, "plain"][room])[0] + PORCELAIN_MORE
    notes.append(
        f"no porcelain row for {size} cm: {decimal_text(PORCELAIN_MORE, places=4)} h "
        "added, as in every published pair"
    )
    return setter, _floor_helper(setter)


def _diagonal(
    size: int, room: int, setter: Fraction, notes: list[str]
) -> tuple[Fraction, Fraction]:
    known = size if (size, "diagonal") in FLOOR_ROWS else 45
    plain = _pair(FLOOR_ROWS[known, "plain"][room])[0]
    turned, helper = _pair(FLOOR_ROWS[known, "diagonal"][room])
    if known == size and setter == plain:
        return turned, helper
    notes.append(f"diagonal as published for {known} cm, taken in proportion")
    more = setter * turned / plain
    return more, _floor_helper(more)


def _floor_helper(setter: Fraction) -> Fraction:
    """Return the helper's hours that all published floors keep to the setter's."""
    return Fraction("0.0959") + Fraction("0.1375") * setter


def _patterned(output: Output, setting: Setting) -> Output:
    if setting.pattern in PLAIN_PATTERNS:
        return output
    return Output(
        setter=output.setter * PATTERN_FACTOR,
        helper=output.helper,
        row=output.row,
        source=output.source,
        notes=(
            *output.notes,
            f"{setting.pattern.replace('_', ' ')}: setter's hours × "
            f"{decimal_text(PATTERN_FACTOR, places=2)}, {PATTERN_SOURCE}",
        ),
    )

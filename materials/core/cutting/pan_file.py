"""The pan-fitting file: a recess and its stock read from JSON, the ways written to it.

Numbers are taken from their text and stay exact: every length of the file is a whole
number of the job's ticks, which are divided as finely as the file needs.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import lcm
from typing import Any

from moneyed import Money

from materials.core import amounts
from materials.core.cutting.pan_outlines import Point
from materials.core.cutting.pan_records import (
    DRAIN_EDGE,
    FAR_EDGE,
    LINEAR,
    PAN_SIDES,
    POINT,
    WALL,
    Fit,
    FlatBoard,
    LinearDrain,
    Mortar,
    Pan,
    PointDrain,
    Recess,
    SlopeRule,
    Stock,
)
from materials.core.cutting.pan_schema import SCHEMA
from materials.core.cutting.pans import fit_pans
from materials.core.errors import OutOfRange, Refusal
from materials.core.json_file import check_schema, exact_number, parsed_object
from materials.core.lengths import IMPERIAL, INCH, LARGEST, METRIC, MM, Length
from materials.core.recess_rules import DWELLING_SLOPE

TWO_DECIMALS = "USD"
"""The file names no currency: money has two decimals unless it does."""

_UNITS = {"in": INCH, "mm": MM}
_SYSTEMS = {"in": IMPERIAL, "mm": METRIC}
_ALIASES = {
    "near": DRAIN_EDGE,
    "front": DRAIN_EDGE,
    "thin": DRAIN_EDGE,
    "back": FAR_EDGE,
    "thick": FAR_EDGE,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class PanJob:
    """A job in ticks: `unit_ticks` of them make one unit of the file."""

    unit: str
    unit_ticks: int
    recess: Recess
    stock: Stock
    rule: SlopeRule

    def fit(self) -> Fit:
        """Return every way and every refusal."""
        return fit_pans(self.recess, stock=self.stock, rule=self.rule)


def read_job(text: str) -> PanJob:
    """Return the job that a file describes.

    Raises: Refusal, with the key in `field`, for anything that the schema or common
    sense forbids.
    """
    data = parsed_object(text)
    check_schema(data, SCHEMA)
    scale = _scale(data)
    door = _Door(unit=_UNITS[data["unit"]] * scale, currency=_currency(data))
    return PanJob(
        unit=data["unit"],
        unit_ticks=door.unit,
        recess=_recess(data, door, scale),
        stock=_stock(data, door),
        rule=_rule(data),
    )


def _currency(data: Mapping[str, Any]) -> str:
    code = data.get("currency", TWO_DECIMALS)
    try:
        amounts.currency(code)
    except Refusal as refusal:
        raise refusal.at("currency") from None
    return str(code)


_LENGTH_KEYS = frozenset(
    (
        "recess", "flat", "at", "from", "length", "lowest", "width", "depth", "height",
        "thin", "thick", "thickness", "strip", "strip_drop", "drain_at", "least",
        "least_thickness", "leftover",
    )
)  # fmt: skip


def _scale(data: Mapping[str, Any]) -> int:
    """Return how finely a tick must be divided for every length to be whole."""
    unit = _UNITS[data["unit"]]
    return lcm(*(number_ticks.denominator for number_ticks in _lengths(data, "", unit)))


def _lengths(
    value: Any, path: str, unit: int, *, inside: bool = False
) -> list[Fraction]:
    """Return every length of a part of the file in ticks."""
    if isinstance(value, Mapping):
        found = []
        for key, one in value.items():
            place = f"{path}.{key}".lstrip(".")
            found += _lengths(one, place, unit, inside=key in _LENGTH_KEYS)
        return found
    if isinstance(value, list):
        return [
            one
            for index, item in enumerate(value)
            for one in _lengths(item, f"{path}[{index}]", unit, inside=inside)
        ]
    if not inside or value is None:
        return []
    number = exact_number(value, field=path) * unit
    if abs(number) > LARGEST:
        raise OutOfRange(f"{value} is longer than ten kilometres.", field=path)
    return [number]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Door:
    """Read lengths, points and prices of a file that has passed its schema."""

    unit: int
    currency: str

    def ticks(self, value: Any, field: str) -> int:
        return int(exact_number(value, field=field) * self.unit)

    def length(self, value: Any, field: str, *, above: bool = False) -> Length:
        ticks = self.ticks(value, field)
        if ticks < 0 or (above and ticks == 0):
            least = "above 0" if above else "0 or more"
            raise OutOfRange(f"{value} is too small; enter {least}.", field=field)
        return Length(ticks)

    def point(self, value: Any, field: str) -> Point:
        return (
            self.ticks(value[0], f"{field}[0]"),
            self.ticks(value[1], f"{field}[1]"),
        )

    def outline(self, value: Any, field: str) -> tuple[Point, ...]:
        return tuple(
            self.point(point, f"{field}[{index}]") for index, point in enumerate(value)
        )

    def price(self, value: Any, field: str) -> Money:
        number = exact_number(value, field=field)
        step = amounts.minor_step(self.currency)
        if number < 0:
            raise OutOfRange(f"A price of {value} is below 0.", field=field)
        if (number / step).denominator != 1:
            digits = amounts.minor_digits(self.currency)
            raise OutOfRange(
                f"A price of {value} has more than {digits} decimals; round it.",
                field=field,
            )
        return amounts.money(number, self.currency)


def _recess(data: Mapping[str, Any], door: _Door, scale: int) -> Recess:
    drain = data["drain"]
    if drain["kind"] == LINEAR:
        place: LinearDrain | PointDrain = LinearDrain(
            side=drain["side"],
            start=door.length(drain.get("from", 0), "drain.from"),
            length=door.length(drain["length"], "drain.length", above=True),
        )
    else:
        place = PointDrain(at=door.point(drain["at"], "drain.at"))
    return Recess(
        outline=door.outline(data["recess"], "recess"),
        drain=place,
        flats=tuple(
            door.outline(flat, f"flat[{index}]")
            for index, flat in enumerate(data.get("flat", []))
        ),
        lowest=door.length(data.get("lowest", 0), "lowest"),
        system=_SYSTEMS[data["unit"]],
        scale=scale,
    )


def _rule(data: Mapping[str, Any]) -> SlopeRule:
    run = data.get("run", WALL)
    if "slope" not in data:
        return SlopeRule(
            least=DWELLING_SLOPE.least,
            most=DWELLING_SLOPE.most,
            run=run,
            source=DWELLING_SLOPE.source,
        )
    least = exact_number(data["slope"]["min"], field="slope.min")
    most = exact_number(data["slope"]["max"], field="slope.max")
    if not 0 < least <= 1:
        raise OutOfRange(
            f"{data['slope']['min']} is no fall; write rise over run, such as 1/48.",
            field="slope.min",
        )
    if not least <= most <= 1:
        raise OutOfRange(
            f"{data['slope']['max']} must be from slope.min up to 1.", field="slope.max"
        )
    return SlopeRule(least=least, most=most, run=run)


def _stock(data: Mapping[str, Any], door: _Door) -> Stock:
    pans = tuple(
        _pan(row, f"pans[{at}]", door) for at, row in enumerate(data.get("pans", []))
    )
    boards = tuple(
        _board(row, f"boards[{at}]", door)
        for at, row in enumerate(data.get("boards", []))
    )
    for key, rows in (("pans", pans), ("boards", boards)):
        names = [row.name for row in rows]
        for at, name in enumerate(names):
            if name in names[:at]:
                raise OutOfRange(
                    f"“{name}” stands twice; names must differ.",
                    field=f"{key}[{at}].name",
                )
    leftover = data.get("leftover")
    return Stock(
        pans=pans,
        boards=boards,
        mortar=_mortar(data.get("mortar"), door),
        leftover=None
        if leftover is None
        else (
            door.length(leftover[0], "leftover[0]", above=True),
            door.length(leftover[1], "leftover[1]", above=True),
        ),
    )


def _pan(row: Mapping[str, Any], field: str, door: _Door) -> Pan:
    def size(key: str, *, above: bool = True) -> Length:
        return door.length(row.get(key, 0), f"{field}.{key}", above=above)

    pan = Pan(
        name=row["name"],
        kind=row.get("kind", LINEAR),
        width=size("width"),
        depth=size("depth"),
        thin=size("thin"),
        thick=size("thick"),
        strip=size("strip", above=False),
        strip_drop=size("strip_drop", above=False),
        drain_at=_drain_at(row.get("drain_at"), f"{field}.drain_at", door),
        trim=frozenset(_side(one) for one in row.get("trim", PAN_SIDES)),
        price=door.price(row.get("price", "0"), f"{field}.price"),
        count=row.get("count"),
    )
    _check_pan(pan, field)
    return pan


def _side(name: str | int) -> str:
    return PAN_SIDES[name] if isinstance(name, int) else _ALIASES.get(name, name)


def _drain_at(value: Any, field: str, door: _Door) -> tuple[Length, Length] | None:
    """Return where the drain lies in a pan; a bare number is along its drain edge."""
    if value is None:
        return None
    if not isinstance(value, list):
        return door.length(value, field), Length(0)
    return door.length(value[0], f"{field}[0]"), door.length(value[1], f"{field}[1]")


def _check_pan(pan: Pan, field: str) -> None:
    faults = (
        (
            pan.strip >= pan.depth,
            "strip",
            "The strip takes the whole depth and leaves nothing to slope.",
        ),
        (
            pan.thick < pan.thin,
            "thick",
            "The far edge is thinner than the drain edge; swap thin and thick.",
        ),
        (
            pan.strip_drop >= pan.thin,
            "strip_drop",
            "The strip would lie below the pan's underside.",
        ),
        (
            pan.kind == POINT and bool(pan.strip),
            "strip",
            "A point pan has no flat strip; leave it out.",
        ),
        (
            pan.drain_at is not None
            and (pan.drain_at[0] > pan.width or pan.drain_at[1] > pan.depth),
            "drain_at",
            "The drain lies outside the pan.",
        ),
    )
    for wrong, key, sentence in faults:
        if wrong:
            raise OutOfRange(sentence, field=f"{field}.{key}")


def _board(row: Mapping[str, Any], field: str, door: _Door) -> FlatBoard:
    return FlatBoard(
        name=row["name"],
        width=door.length(row["width"], f"{field}.width", above=True),
        depth=door.length(
            _one_of(row, ("depth", "height"), field), f"{field}.depth", above=True
        ),
        thickness=door.length(
            _one_of(row, ("thick", "thickness"), field), f"{field}.thick", above=True
        ),
        price=door.price(row.get("price", "0"), f"{field}.price"),
        count=row.get("count"),
    )


def _one_of(row: Mapping[str, Any], keys: tuple[str, ...], field: str) -> Any:
    """Return the one of several keys that is given."""
    given = [key for key in keys if key in row]
    if not given:
        raise OutOfRange("This key is missing; add it.", field=f"{field}.{keys[0]}")
    if len(given) > 1:
        raise OutOfRange(
            f"{' and '.join(given)} mean the same; keep one.",
            field=f"{field}.{given[1]}",
        )
    return row[given[0]]


def _mortar(row: Mapping[str, Any] | None, door: _Door) -> Mortar | None:
    if row is None:
        return None
    price = exact_number(
        _one_of(row, ("price", "price_per_volume"), "mortar"), field="mortar.price"
    )
    if price < 0:
        raise OutOfRange("A price below 0 cannot be used.", field="mortar.price")
    least = _one_of(row, ("least", "least_thickness"), "mortar")
    return Mortar(
        price_per_cubic_tick=price / door.unit**3,
        least=door.length(least, "mortar.least"),
        currency=door.currency,
        bag=_above(row, "bag", door.unit**3),
        kg_per_cubic_metre=_above(row, "density", 1),
    )


def _above(row: Mapping[str, Any], key: str, unit: int) -> Fraction | None:
    if key not in row:
        return None
    number = exact_number(row[key], field=f"mortar.{key}") * unit
    if number <= 0:
        raise OutOfRange(
            f"{row[key]} is too small; enter above 0.", field=f"mortar.{key}"
        )
    return number

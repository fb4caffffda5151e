"""Read a layout file: exact numbers from their text, ticks at the door.

The meaning of every key stands in SCHEMA (schema.py). Numbers are JSON numbers, read
from their text and never as binary fractions, or strings such as `12`, `12.5`, `1/3`
or `12 1/2`, in the file's unit.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, cast

from materials.core.errors import (
    NotANumber,
    OutOfRange,
    Refusal,
    Unknown,
)
from materials.core.lengths import INCH, LARGEST, MM
from materials.core.quantities import decimal_text, half_up, parse_number
from quotes.core.geometry import TickPoint, TickRing
from quotes.core.layout.counting import check_tolerance, count
from quotes.core.layout.records import (
    EDGE_KINDS,
    EdgeKind,
    Rules,
    SetOut,
    Surface,
    Tally,
)
from quotes.core.layout.setout import AIMS, tallies_for
from quotes.core.layout.task import Task
from quotes.core.pattern import Lattice, Pattern, made
from quotes.core.patterns import pattern_named

UNITS = {"mm": MM, "in": INCH}
PLACES = 4
"""Lengths are printed with at most four decimals, so origins are kept to four."""

LAY_TRIES = 280
"""Set-outs a file's search plans for each surface: it may take its time."""

_LARGEST_TEXT = 4_000_000
_EXPONENT = re.compile(r"[eE][-+]?([0-9]+)$")
_TOP_KEYS = (
    "unit", "surfaces", "tile", "joint", "pattern", "origin", "kerf", "tolerance",
    "directional", "gap", "slide",
)  # fmt: skip


class _JsonNumber(str):
    """The text of a JSON number, told apart from a string."""

    __slots__ = ()


class _NoNumber:
    """NaN or Infinity, kept until the key it stands under can be named."""

    def __init__(self, word: str) -> None:
        del word


@dataclass(frozen=True, slots=True, kw_only=True)
class LayFile:
    """A layout file, understood: everything in ticks.

    `wishes` has one entry a surface: its origin, or the aim of a search.
    """

    unit: str
    surfaces: tuple[Surface, ...]
    lattice: Lattice
    angle: Fraction
    rules: Rules
    wishes: tuple[TickPoint | str, ...]

    @property
    def grain(self) -> Fraction:
        """The step of a printed length, in ticks."""
        return Fraction(UNITS[self.unit], 10**PLACES)


def read_file(text: str) -> LayFile:
    """Return the layout a file describes.

    Raises: a Refusal whose sentence names the key, for anything not understood.
    """
    document = _object(_parsed(text), "file", required=_TOP_KEYS[:5], known=_TOP_KEYS)
    unit = document["unit"]
    if not isinstance(unit, str) or unit not in UNITS:
        raise Unknown('unit must be "mm" or "in".', field="unit")
    reader = _Reader(unit)
    rules = reader.rules(document)
    lattice, angle = reader.lattice(document)
    check_tolerance(lattice, rules)
    entries = _list(document["surfaces"], "surfaces", least=1)
    surfaces = tuple(reader.surface(e, f"surfaces[{i}]") for i, e in enumerate(entries))
    wishes = tuple(
        reader.wish(document, e, f"surfaces[{i}]") for i, e in enumerate(entries)
    )
    return LayFile(
        unit=unit,
        surfaces=surfaces,
        lattice=lattice,
        angle=angle,
        rules=rules,
        wishes=wishes,
    )


def tallies_of(file: LayFile) -> tuple[Tally, ...]:
    """Return the count of every surface of a file, searching where it asks for it."""
    tallies: dict[int, Tally] = {}
    for aim in AIMS:
        rows = [index for index, wish in enumerate(file.wishes) if wish == aim]
        if rows:
            task = Task(
                surfaces=tuple(file.surfaces[index] for index in rows),
                lattice=file.lattice,
                rules=file.rules,
                angle=file.angle,
                grain=file.grain,
                tries=LAY_TRIES,
            )
            tallies.update(zip(rows, tallies_for(task, aim), strict=True))
    for index, wish in enumerate(file.wishes):
        if not isinstance(wish, str):
            set_out = SetOut(origin=wish, angle=file.angle)
            tallies[index] = count(
                file.surfaces[index], file.lattice, set_out, file.rules
            )
    return tuple(tallies[index] for index in range(len(file.surfaces)))


def _parsed(text: str) -> object:
    if len(text) > _LARGEST_TEXT:
        raise OutOfRange(
            "file is longer than four million characters; split the job.", field="file"
        )
    try:
        return json.loads(
            text,
            parse_float=_JsonNumber,
            parse_int=_JsonNumber,
            parse_constant=_NoNumber,
            object_pairs_hook=_no_repeats,
        )
    except json.JSONDecodeError as error:
        raise NotANumber(
            f"file is not JSON: {error.msg} at line {error.lineno}, "
            f"column {error.colno}.",
            field="file",
        ) from None
    except RecursionError:
        raise OutOfRange("file is nested too deeply.", field="file") from None


def _no_repeats(pairs: Sequence[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for key, value in pairs:
        if key in found:
            raise OutOfRange(f"{key[:40]} is given twice; keep one.", field=key[:40])
        found[key] = value
    return found


def _object(
    value: object, path: str, *, required: Sequence[str], known: Sequence[str]
) -> Mapping[str, Any]:
    if not isinstance(value, dict):
        raise OutOfRange(f"{path} must be an object with keys.", field=path)
    start = "" if path == "file" else f"{path}."
    for key in value:
        if key not in known:
            raise Unknown(
                f"{start}{key[:40]} is not a known key; use {', '.join(known)}.",
                field=f"{start}{key[:40]}",
            )
    for key in required:
        if key not in value:
            raise OutOfRange(
                f"{start}{key} is missing; give it.", field=f"{start}{key}"
            )
    return cast("Mapping[str, Any]", value)


def _list(value: object, path: str, *, least: int) -> list[Any]:
    if not isinstance(value, list) or len(value) < least:
        raise OutOfRange(
            f"{path} must be a list of at least {least}; give them in order.",
            field=path,
        )
    return value


def _switch(document: Mapping[str, Any], name: str, path: str) -> bool:
    value = document.get(name, False)
    if not isinstance(value, bool):
        raise OutOfRange(f"{path} must be true or false.", field=path)
    return value


def number(value: object, path: str) -> Fraction:
    """Return a number of a file, exactly.

    Raises: NotANumber or OutOfRange naming the key.
    """
    if isinstance(value, _JsonNumber):
        exponent = _EXPONENT.search(value)
        if len(value) > 40 or (exponent and int(exponent[1]) > 12):
            raise OutOfRange(f"{path} has too many digits.", field=path)
        return Fraction(value)
    if isinstance(value, str):
        try:
            return parse_number(value)
        except Refusal as refusal:
            raise NotANumber(f"{path}: {refusal.sentence}", field=path) from None
    raise NotANumber(
        f"{path} must be a number; write 12, 12.5, 1/3 or 12 1/2.", field=path
    )


class _Reader:
    """Read the parts of a file in one unit."""

    def __init__(self, unit: str) -> None:
        self.unit = unit
        self.ticks = UNITS[unit]

    def length(self, value: object, path: str) -> int:
        """Return a length in ticks, to the nearest tick."""
        ticks = int(half_up(number(value, path) * self.ticks))
        if abs(ticks) > LARGEST:
            raise OutOfRange(f"{path} is longer than ten kilometres.", field=path)
        return ticks

    def rules(self, document: Mapping[str, Any]) -> Rules:
        """Return the rules; what is not given keeps its default."""
        given = {
            name: self.length(document[name], name)
            for name in ("tolerance", "kerf", "gap")
            if name in document
        }
        for name, value in given.items():
            if value < 0:
                raise OutOfRange(f"{name} is below 0; give 0 or more.", field=name)
        return Rules(
            **given,
            directional=_switch(document, "directional", "directional"),
            slide=_switch(document, "slide", "slide"),
        )

    def lattice(self, document: Mapping[str, Any]) -> tuple[Lattice, Fraction]:
        """Return the pattern made for the tile and the joint, and its angle."""
        entry = document["pattern"]
        if not isinstance(entry, dict) or not isinstance(entry.get("name"), str):
            raise OutOfRange(
                "pattern.name is missing; name a laying pattern.", field="pattern.name"
            )
        pattern = pattern_named(entry["name"])
        own = tuple(parameter.name for parameter in pattern.parameters)
        _object(entry, "pattern", required=("name",), known=("name", "angle", *own))
        tile = _object(
            document["tile"], "tile", required=pattern.tile_keys,
            known=pattern.tile_keys,
        )  # fmt: skip
        sizes = {
            key: self.length(tile[key], f"tile.{key}") for key in pattern.tile_keys
        }
        joint = self.length(document["joint"], "joint")
        parameters = _parameters(pattern, entry)
        angle = number(entry.get("angle", "0"), "pattern.angle")
        return made(pattern, sizes, joint, parameters), angle

    def surface(self, value: object, path: str) -> Surface:
        """Return one surface, checked."""
        entry = _object(
            value, path, required=("outer",),
            known=("outer", "holes", "edges", "origin"),
        )  # fmt: skip
        holes = _list(entry.get("holes", []), f"{path}.holes", least=0)
        edges = _list(entry.get("edges", []), f"{path}.edges", least=0)
        for index, kind in enumerate(edges):
            if kind not in EDGE_KINDS:
                raise Unknown(
                    f"{path}.edges[{index}] must be one of {', '.join(EDGE_KINDS)}.",
                    field=f"{path}.edges[{index}]",
                )
        surface = Surface(
            outer=self.ring(entry["outer"], f"{path}.outer"),
            holes=tuple(
                self.ring(hole, f"{path}.holes[{index}]")
                for index, hole in enumerate(holes)
            ),
            edges=cast("tuple[EdgeKind, ...]", tuple(edges)),
        )
        return surface.checked(path=path)

    def ring(self, value: object, path: str) -> TickRing:
        """Return a ring of corners in ticks."""
        corners = _list(value, path, least=3)
        if len(corners) > 5000:
            raise OutOfRange(f"{path} has more than 5000 corners.", field=path)
        return tuple(
            self.point(corner, f"{path}[{index}]")
            for index, corner in enumerate(corners)
        )

    def point(self, value: object, path: str) -> TickPoint:
        """Return a corner in ticks."""
        if not isinstance(value, list) or len(value) != 2:
            raise OutOfRange(f"{path} must be two numbers, [x, y].", field=path)
        return self.length(value[0], path), self.length(value[1], path)

    def wish(
        self, document: Mapping[str, Any], entry: Mapping[str, Any], path: str
    ) -> TickPoint | str:
        """Return the origin of a surface, or the aim to search for.

        Rounds: an origin to four decimals of the unit, as it will be printed.
        """
        value, where = entry.get("origin"), f"{path}.origin"
        if "origin" not in entry:
            value, where = document.get("origin"), "origin"
            if "origin" not in document:
                raise OutOfRange(
                    "origin is missing; give [x, y] or one of "
                    f"{', '.join(AIMS)}, at the top or in {path}.",
                    field="origin",
                )
        if isinstance(value, str) and not isinstance(value, _JsonNumber):
            if value not in AIMS:
                raise Unknown(
                    f"{where} must be [x, y] or one of {', '.join(AIMS)}.", field=where
                )
            return value
        if not isinstance(value, list) or len(value) != 2:
            raise OutOfRange(
                f"{where} must be [x, y] or one of {', '.join(AIMS)}.", field=where
            )
        x, y = (self.printed(number(part, where), where) for part in value)
        return x, y

    def printed(self, value: Fraction, path: str) -> int:
        """Return the ticks of a length as it will be printed."""
        return self.length(decimal_text(value, places=PLACES), path)


def _parameters(
    pattern: Pattern, entry: Mapping[str, Any]
) -> dict[str, Fraction | bool]:
    found: dict[str, Fraction | bool] = {}
    for parameter in pattern.parameters:
        if parameter.name not in entry:
            continue
        path = f"pattern.{parameter.name}"
        if parameter.kind == "switch":
            found[parameter.name] = _switch(entry, parameter.name, path)
        else:
            found[parameter.name] = number(entry[parameter.name], path)
    return found

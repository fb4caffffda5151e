"""The cutting file: a job read from JSON, a plan written to JSON.

Numbers are taken from their text and stay exact: the job is counted in the largest
unit in which every length of the file is whole, so 9.6 in ten times is 96 in.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from math import lcm
from typing import Any

from materials.core.cutting.cut_schema import SCHEMA
from materials.core.cutting.lengths import plan_lengths
from materials.core.cutting.records import (
    Budget,
    Certificate,
    CutPlan,
    CutSheet,
    Leftover,
    Piece,
    Placed,
    Rules,
    Stock,
)
from materials.core.cutting.sheets import plan_sheets
from materials.core.errors import OutOfRange
from materials.core.json_file import check_schema, exact_number, parsed_object
from materials.core.quantities import decimal_text, fixed_text

LARGEST = 10_000_000
"""Ten kilometres in millimetres: nothing that is cut is larger."""

FINEST_PLACES = 9
ROUNDED_PLACES = 4
MINOR_UNITS = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class CutJob:
    """A job in whole numbers: `scale` of them make one `unit`."""

    unit: str
    scale: int
    pieces: tuple[Piece, ...]
    stock: tuple[Stock, ...]
    rules: Rules
    seed: int
    is_length: bool


def read_job(text: str) -> CutJob:
    """Return the job that a file describes.

    Raises: Refusal, with the key in `field`, for anything that the schema or common
    sense forbids.
    """
    data = parsed_object(text)
    schema = SCHEMA["then"] if data.get("bin") == "length" else SCHEMA["else"]
    check_schema(data, schema)
    flat = data.get("bin") == "length"
    sides = ("length",) if flat else ("width", "height")
    numbers = _Numbers()
    numbers.read(data.get("kerf", 0), "kerf")
    numbers.read(data.get("snap", 0), "snap")
    kept = data.get("leftover")
    if kept is not None:
        for one in kept if isinstance(kept, list) else [kept]:
            numbers.read(one, "leftover")
    for key in ("stock", "pieces"):
        for at, row in enumerate(data[key]):
            for side in sides:
                numbers.read(row[side], f"{key}[{at}].{side}", positive=True)
    return _job(data, numbers, sides, flat)


def _job(
    data: dict[str, Any], numbers: _Numbers, sides: tuple[str, ...], flat: bool
) -> CutJob:
    whole = numbers.whole

    def row_sides(row: dict[str, Any]) -> dict[str, int]:
        high = 1 if flat else whole(row["height"])
        return {"width": whole(row[sides[0]]), "height": high}

    pieces = [
        Piece(
            name=row["name"],
            count=row.get("count", 1),
            turn=row.get("turn", not flat),
            **row_sides(row),
        )
        for row in data["pieces"]
    ]
    stock = [
        Stock(
            name=row["name"],
            price=_price(row.get("price", "0"), f"stock[{at}].price"),
            count=row.get("count"),
            **row_sides(row),
        )
        for at, row in enumerate(data["stock"])
    ]
    return CutJob(
        unit=data["unit"],
        scale=numbers.scale,
        pieces=tuple(pieces),
        stock=tuple(stock),
        rules=_rules(data, whole, flat),
        seed=data.get("seed", 0),
        is_length=flat,
    )


def _rules(data: dict[str, Any], whole: Callable[[Any], int], flat: bool) -> Rules:
    kept = data.get("leftover")
    if kept is not None:
        sizes = [whole(one) for one in (kept if isinstance(kept, list) else [kept])]
        kept = (sizes[0], 1 if flat else sizes[1])
    kerf, snap = whole(data.get("kerf", 0)), whole(data.get("snap", 0))
    return Rules(kerf=kerf, snap=snap, leftover=kept)


def plan_job(job: CutJob, *, budget: Budget) -> CutPlan:
    """Return the plan of a job read from a file."""
    plan = plan_lengths if job.is_length else plan_sheets
    return plan(
        list(job.pieces), list(job.stock), job.rules, seed=job.seed, budget=budget
    )


class _Numbers:
    """The lengths of a file, and the unit in which they are all whole."""

    def __init__(self) -> None:
        self.scale = 1

    def read(self, value: Any, field: str, *, positive: bool = False) -> Fraction:
        """Return a length of the file and make the common unit fit it."""
        number = exact_number(value, field=field)
        if number < 0 or (positive and number == 0):
            least = "above 0" if positive else "0 or more"
            raise OutOfRange(f"{value} is too small; enter {least}.", field=field)
        if number > LARGEST:
            raise OutOfRange(
                f"{value} is too large; nothing is cut from kilometres.", field=field
            )
        self.scale = lcm(self.scale, number.denominator)
        return number

    def whole(self, value: Any) -> int:
        """Return a length that was read before as a whole number."""
        return int(exact_number(value, field="") * self.scale)


def _price(value: Any, field: str) -> int:
    """Return a price in minor units."""
    number = exact_number(value, field=field) * MINOR_UNITS
    if number.denominator != 1:
        raise OutOfRange(
            f"A price of {value} is finer than two decimal places; round it.",
            field=field,
        )
    if number < 0:
        raise OutOfRange(f"A price of {value} is below 0.", field=field)
    return int(number)


def answer(job: CutJob, plan: CutPlan) -> dict[str, Any]:
    """Return a plan as the command prints it, lengths as texts in the file's unit."""

    def text(number: int) -> str:
        return length_text(Fraction(number, job.scale))

    return {
        "sheets": [_sheet(job, sheet, text) for sheet in plan.sheets],
        "bought": plan.bought,
        "used": plan.used,
        "cost": money_text(plan.cost),
        "lower_bound": {
            "cost": money_text(plan.lower_bound.cost),
            "sheets": plan.lower_bound.sheets,
        },
        "proven": plan.proven,
        "certificate": certificate_record(plan.certificate, text),
        "leftovers": [
            {"sheet": row.sheet, **_box(job, row, text)} for row in plan.leftovers
        ],
        "seed": plan.seed,
    }


def _box(
    job: CutJob, row: Placed | Leftover, text: Callable[[int], str]
) -> dict[str, str]:
    if job.is_length:
        return {"x": text(row.x), "length": text(row.width)}
    return {
        "x": text(row.x),
        "y": text(row.y),
        "width": text(row.width),
        "height": text(row.height),
    }


def _sheet(job: CutJob, sheet: CutSheet, text: Callable[[int], str]) -> dict[str, Any]:
    pieces: list[dict[str, Any]] = []
    for row in sheet.pieces:
        pieces.append({"name": row.name, **_box(job, row, text)})
        if not job.is_length:
            pieces[-1]["turned"] = row.turned
    return {
        "stock": sheet.stock,
        "pieces": pieces,
        "cuts": [
            {"part": cut.part, "axis": cut.axis, "at": text(cut.at)}
            for cut in sheet.cuts
        ],
    }


def certificate_record(
    certificate: Certificate, text: Callable[[int], str]
) -> dict[str, Any]:
    """Return a certificate as it is printed; lengths by `text`."""
    record: dict[str, Any] = {"kind": certificate.kind}
    if certificate.kind == "dff":
        record["functions"] = [
            [name, k if name == "u" else text(k)] for name, k in certificate.functions
        ]
        record["turned"] = "min"
    if certificate.kind == "price":
        record["scale"] = certificate.scale
        record["prices"] = dict(certificate.prices)
        record["limits"] = dict(certificate.limits)
    return record


def length_text(value: Fraction) -> str:
    """Return a length as a decimal text.

    Rounds: not at all when nine places are enough (every binary fraction of an inch
    down to 1/512); else half up to four places.

    >>> length_text(Fraction(1, 32)), length_text(Fraction(1, 3))
    ('0.03125', '0.3333')
    """
    finite = 10**FINEST_PLACES % value.denominator == 0
    return decimal_text(value, places=FINEST_PLACES if finite else ROUNDED_PLACES)


def money_text(minor: int) -> str:
    """Return minor units as a decimal text.

    >>> money_text(1250)
    '12.50'
    """
    return fixed_text(Fraction(minor, MINOR_UNITS), places=2)


def answer_text(record: dict[str, Any]) -> str:
    """Return a plan's record as the text of a file, the same bytes every time."""
    return json.dumps(record, indent=1, ensure_ascii=False) + "\n"


def verdict(plan: CutPlan) -> str:
    """Return in a sentence how good the plan provably is."""
    bound = plan.lower_bound
    sheets = f"{plan.used} {'piece' if plan.used == 1 else 'pieces'} of stock"
    if plan.proven and bound.sheets == plan.used:
        if plan.used == 1:
            return f"{sheets}. Proven: it cannot be done with less."
        return f"{sheets}. Proven: {plan.used - 1} cannot be enough."
    if plan.proven:
        return f"{sheets}. Proven: no plan costs less than {money_text(plan.cost)}."
    if plan.cost > bound.cost:
        most = money_text(plan.cost - bound.cost)
        return f"{sheets}; not proven: at most {most} could be saved."
    return f"{sheets}; {plan.used - 1} not ruled out."


def summary(job: CutJob, plan: CutPlan) -> str:
    """Return the plan for reading: what to take, what to cut from each, the proof."""
    lines = [
        verdict(plan),
        f"Bought {plan.bought}, cost {money_text(plan.cost)}, {plan.cut_count} cuts.",
    ]
    record = answer(job, plan)
    for number, sheet in enumerate(record["sheets"], 1):
        lines.append(f"{number}. {sheet['stock']}")
        for row in sheet["pieces"]:
            if job.is_length:
                lines.append(f"   {row['name']}: {row['length']} at {row['x']}")
                continue
            turned = ", turned" if row["turned"] else ""
            size = f"{row['width']} x {row['height']}"
            lines.append(f"   {row['name']}: {size} at {row['x']}, {row['y']}{turned}")
    for row in record["leftovers"]:
        size = row["length"] if job.is_length else f"{row['width']} x {row['height']}"
        lines.append(f"Keep {size} {job.unit} from {row['sheet'] + 1}.")
    return "\n".join(lines)

"""Board problems and their plans as text, to be kept and found again.

The same walls and sheet are the same problem whatever the surfaces are called and
wherever they lie, so names and places stay out: pieces go by their numbers, stock by
its place in the list.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from fractions import Fraction
from hashlib import sha256
from typing import Any

from materials.core.cutting.panels import Panel as WallPanel
from materials.core.cutting.records import (
    Certificate,
    Cut,
    CutPlan,
    CutSheet,
    LowerBound,
    Placed,
)
from materials.core.lengths import Length
from materials.core.need import RackPiece
from materials.core.outlines import Ring
from materials.core.plans.board_panels import Field
from materials.core.plans.board_sheets import Sheet

FORM = 1
"""What the texts mean; another number makes other problems of them."""


def problem_of(fields: Sequence[Field], sheet: Sheet) -> str:
    """Return a cutting problem as text: equal for equal walls, sheet and rack.

    Units: ticks; each outline from its own lower left.
    """
    record = {
        "form": FORM,
        "fields": [_field_record(field) for field in fields],
        "sheet": {
            "width": sheet.width.ticks,
            "length": sheet.length.ticks,
            "kerf": sheet.kerf.ticks,
            "passes": sheet.passes.ticks,
            "folds": sheet.folds,
        },
        "rack": [
            [piece.width.ticks, piece.height.ticks, f"{piece.value}"]
            for piece in sheet.rack
        ],
    }
    return _text(record)


def digest_of(problem: str) -> str:
    """Return the digest a problem is known by."""
    return sha256(problem.encode("ascii")).hexdigest()


def read_problem(problem: str) -> tuple[tuple[Field, ...], Sheet]:
    """Return the fields and the sheet of a problem's text, under plain names."""
    record = json.loads(problem)
    fields = tuple(
        Field(
            place=f"{at}",
            outline=_ring(row["outline"]),
            holes=tuple(map(_ring, row["holes"])),
            times=row["times"],
        )
        for at, row in enumerate(record["fields"], start=1)
    )
    sizes = record["sheet"]
    sheet = Sheet(
        code="new",
        words="",
        width=Length(sizes["width"]),
        length=Length(sizes["length"]),
        kerf=Length(sizes["kerf"]),
        passes=Length(sizes["passes"]),
        folds=sizes["folds"],
        rack=tuple(
            RackPiece(
                key=f"kept {at}",
                words="",
                width=Length(width),
                height=Length(height),
                value=Fraction(value),
            )
            for at, (width, height, value) in enumerate(record["rack"], start=1)
        ),
    )
    return fields, sheet


def written(
    cut: CutPlan,
    numbers: Mapping[str, int],
    panels: Sequence[WallPanel] | None,
    sheet: Sheet,
) -> str:
    """Return a plan as text; `panels` are those of walls whose seams were chosen."""
    stock = {row.name: at for at, row in enumerate(sheet.stock)}
    walls = list(dict.fromkeys(panel.wall for panel in panels or ()))
    proof = cut.certificate
    record = {
        "form": FORM,
        "panels": None
        if panels is None
        else [
            [walls.index(one.wall), one.x, one.y, one.width, one.height]
            for one in panels
        ],
        "sheets": [
            {
                "stock": stock[one.stock],
                "pieces": [
                    [numbers[row.name], row.x, row.y, row.width, row.height, row.turned]
                    for row in one.pieces
                ],
                "cuts": [[row.part, row.axis, row.at] for row in one.cuts],
            }
            for one in cut.sheets
        ],
        "bound": [cut.lower_bound.cost, cut.lower_bound.sheets],
        "proven": cut.proven,
        "proof": {
            "kind": proof.kind,
            "functions": proof.functions,
            "scale": proof.scale,
            "prices": [[numbers[name], price] for name, price in proof.prices],
            "limits": [[stock[name], limit] for name, limit in proof.limits],
        },
    }
    return _text(record)


def panels_kept(record: str, walls: Sequence[str]) -> list[WallPanel] | None:
    """Return the panels of a kept plan on walls of these names, or None: fixed seams.

    Named as they were planned: by wall, numbered within it.
    """
    rows = json.loads(record)["panels"]
    if rows is None:
        return None
    count: dict[int, int] = {}
    panels = []
    for wall, x, y, width, height in rows:
        count[wall] = count.get(wall, 0) + 1
        panels.append(
            WallPanel(
                name=f"{walls[wall]} {count[wall]}",
                wall=walls[wall],
                x=x,
                y=y,
                width=width,
                height=height,
            )
        )
    return panels


def cut_kept(record: str, names: Sequence[str], sheet: Sheet) -> CutPlan:
    """Return the cutting of a kept plan; `names` are of pieces 1, 2, 3 and on."""
    plain = json.loads(record)
    stock = sheet.stock
    used = [stock[row["stock"]] for row in plain["sheets"]]
    sheets = tuple(
        CutSheet(
            stock=stock[row["stock"]].name,
            pieces=tuple(
                Placed(
                    name=names[number - 1],
                    x=x,
                    y=y,
                    width=width,
                    height=height,
                    turned=turned,
                )
                for number, x, y, width, height, turned in row["pieces"]
            ),
            cuts=tuple(
                Cut(part=part, axis=axis, at=at) for part, axis, at in row["cuts"]
            ),
        )
        for row in plain["sheets"]
    )
    return CutPlan(
        sheets=sheets,
        bought=sum(1 for row in used if row.price),
        used=len(sheets),
        cost=sum(row.price for row in used),
        lower_bound=LowerBound(cost=plain["bound"][0], sheets=plain["bound"][1]),
        proven=plain["proven"],
        certificate=_certificate(plain["proof"], names, sheet),
        cut_count=sum(len(one.cuts) for one in sheets),
    )


def _certificate(
    proof: Mapping[str, Any], names: Sequence[str], sheet: Sheet
) -> Certificate:
    stock = sheet.stock
    return Certificate(
        kind=proof["kind"],
        functions=tuple((name, k) for name, k in proof["functions"]),
        scale=proof["scale"],
        prices=tuple((names[number - 1], price) for number, price in proof["prices"]),
        limits=tuple((stock[at].name, limit) for at, limit in proof["limits"]),
    )


def _field_record(field: Field) -> dict[str, Any]:
    left = min(x for x, _ in field.outline)
    bottom = min(y for _, y in field.outline)

    def moved(ring: Ring) -> list[list[int]]:
        return [[x - left, y - bottom] for x, y in ring]

    return {
        "outline": moved(field.outline),
        "holes": [moved(hole) for hole in field.holes],
        "times": field.times,
    }


def _ring(corners: Sequence[Sequence[int]]) -> Ring:
    return tuple((x, y) for x, y in corners)


def _text(record: Mapping[str, Any]) -> str:
    return json.dumps(record, separators=(",", ":"), sort_keys=True)

"""Public two-dimensional instances read from a folder the user names.

Two layouts are understood: pairs of tables `NAME_items.csv` and `NAME_bins.csv` with
columns WIDTH, HEIGHT and COPIES, and JSON files with `Objects` and `Items`, each with
`Length`, `Height` and `Demand` or `Stock`. Files of any other kind are passed by.
"""

from __future__ import annotations

import csv
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from bench.cutting_jobs import Rectangle

PublicJob = tuple[str, Rectangle, list[Rectangle]]
"""Family, sheet and pieces of one instance."""


def public_jobs(folder: Path) -> Iterator[PublicJob]:
    """Return the instances below a folder with one size of sheet, by name."""
    for path in sorted(folder.rglob("*_items.csv")):
        found = _from_tables(path)
        if found is not None:
            yield found
    for path in sorted(folder.rglob("*.json")):
        found = _from_record(path)
        if found is not None:
            yield found


def _from_tables(items: Path) -> PublicJob | None:
    stem = items.name.removesuffix("_items.csv")
    bins = items.with_name(f"{stem}_bins.csv")
    if not bins.exists():
        return None
    sheets = _rows(bins)
    if len(sheets) != 1:
        return None
    pieces = [size for size, copies in _rows(items) for _ in range(copies)]
    family = stem.split(".")[0].rsplit("_", 2)[0] if "_" in stem else stem
    return (stem.split(".")[0] or family), sheets[0][0], pieces


def _rows(path: Path) -> list[tuple[Rectangle, int]]:
    with path.open(encoding="utf-8", newline="") as file:
        return [
            ((int(row["WIDTH"]), int(row["HEIGHT"])), int(row.get("COPIES") or 1))
            for row in csv.DictReader(file)
        ]


def _from_record(path: Path) -> PublicJob | None:
    try:
        data: Any = json.loads(path.read_text(encoding="utf-8"))
        sheets, items = data["Objects"], data["Items"]
    except (ValueError, KeyError, TypeError):
        return None
    if len(sheets) != 1:
        return None
    sheet = int(sheets[0]["Length"]), int(sheets[0]["Height"])
    pieces = [
        (int(row["Length"]), int(row["Height"]))
        for row in items
        for _ in range(int(row.get("Demand") or 1))
    ]
    return path.parent.name, sheet, pieces

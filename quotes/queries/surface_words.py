"""A surface between its page and the visit file.

The page's fields have plain names (`width`, `side_0`, `opening_1_left`); this module
turns what was posted into the visit file's words and back. Nothing is understood
here: the core does that, and its refusals name the visit file's path, which
`field_of_path` leads back to the page's field.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from materials.core.errors import Refusal

SIZES = {
    "rectangle": ("width", "height"),
    "l": ("width", "height", "cut_width", "cut_height"),
    "u": ("width", "height", "cut_left", "cut_width", "cut_height"),
    "quadrilateral": ("diagonal", "second_diagonal"),
    "wall_of": ("height",),
    "stairs": (
        "width",
        "going",
        "bottom",
        "landing",
        "tile",
        "bed",
        "riser",
        "nosing",
        "limit",
    ),
}
LISTED = {
    "stairs": ("rises",),
    "quadrilateral": tuple(f"side_{place}" for place in range(4)),
    "run": ("run",),
    "polygon": ("points",),
}
BOX = ("left", "bottom", "width", "height")
SPARE_ROWS = 2
MOST_ROWS = 40

Plain = dict[str, Any]
Posted = Mapping[str, str]


def surface_entry(posted: Posted) -> Plain:
    """Return what was posted as a surface of the visit file."""
    entry: Plain = {
        "name": posted.get("name", "").strip(),
        "role": _role(posted),
        "measured_to": posted.get("measured_to", "framing"),
        "exposure": posted.get("exposure", "dry"),
        "use": posted.get("use", ""),
        "times": _count(posted),
        "shape": _shape(posted),
        "openings": _rows(posted, "opening", _opening),
        "regions": _rows(posted, "region", _region),
    }
    for name, value in (
        ("build_up", posted.get("build_up", "")),
        ("edges", _edges(posted)),
        ("drain", _drain(posted)),
        ("slope", _slope(posted)),
        ("flat", _flat(posted)),
        ("lowest", _text(posted, "lowest")),
        ("notes", _text(posted, "notes")),
    ):
        if value:
            entry[name] = value
    return entry


def _role(posted: Posted) -> str:
    """Return what the surface is: a flight of stairs is steps, whatever stood there."""
    is_flight = posted.get("shape") == "stairs"
    return "steps" if is_flight else posted.get("role", "wall")


def _count(posted: Posted) -> int | str:
    """Return how often the surface stands there; what is no count goes to the core."""
    text = _text(posted, "times") or "1"
    return int(text) if re.fullmatch(r"[0-9]{1,6}", text, re.ASCII) else text


def size_typed(posted: Posted) -> bool:
    """Whether any size of the posted shape holds something yet."""
    kind = posted.get("shape", "rectangle")
    names = (*SIZES.get(kind, ()), *LISTED.get(kind, ()))
    return any(_text(posted, name) for name in names)


def _text(posted: Posted, name: str) -> str:
    return posted.get(name, "").strip()


def _given(posted: Posted, names: Mapping[str, str]) -> Plain:
    """Return the fields that hold something, under the visit file's names."""
    return {
        name: _text(posted, field)
        for name, field in names.items()
        if _text(posted, field)
    }


def _shape(posted: Posted) -> Plain:
    kind = posted.get("shape", "rectangle")
    sizes = _given(posted, {name: name for name in SIZES.get(kind, ())})
    shape: Plain = {"kind": kind, **sizes}
    if kind == "quadrilateral":
        shape["sides"] = [_text(posted, f"side_{place}") for place in range(4)]
    if kind == "l":
        shape["corner"] = posted.get("cut_corner", "upper_right")
    if kind == "run":
        shape["sides"], shape["corners"] = _run(_text(posted, "run"))
    if kind == "polygon":
        shape["points"] = [
            [part.strip() for part in line.split(";")]
            for line in _text(posted, "points").splitlines()
            if line.strip()
        ]
    if kind == "wall_of":
        shape["floor"] = posted.get("floor", "")
        side = _text(posted, "floor_side")
        shape["side"] = int(side) - 1 if side.isascii() and side.isdigit() else 0
    if kind == "stairs":
        shape |= _given(posted, {"laid": "laid", "riser_build_up": "riser_build_up"})
        shape["rises"] = rises_of(_text(posted, "rises"))
    return shape


def rises_of(text: str) -> list[str]:
    """Return the rises of a flight as typed, one by one."""
    return [one.strip() for one in re.split(r"[,;\n]", text) if one.strip()]


def _run(text: str) -> tuple[list[str], list[str]]:
    """Read one side a line: its length, then the inside angle after it (90 if none)."""
    sides, corners = [], []
    for line in text.splitlines():
        if not line.strip():
            continue
        length, _mark, angle = line.partition(";")
        sides.append(length.strip())
        corners.append(angle.strip() or "90")
    return sides, corners[: max(len(sides) - 1, 0)]


def _edges(posted: Posted) -> list[Any]:
    """Return what each side is and meets; nothing where all are plain walls."""
    edges: list[Any] = []
    for place in range(sides_of(posted)):
        kind = posted.get(f"edge_{place}", "") or "wall"
        meets = posted.get(f"edge_{place}_meets", "")
        edges.append({"kind": kind, "meets": meets} if meets else kind)
    return edges if any(edge != "wall" for edge in edges) else []


def sides_of(posted: Posted) -> int:
    """Return how many sides the posted shape has."""
    kind = posted.get("shape", "rectangle")
    if kind == "run":
        return len([line for line in _text(posted, "run").splitlines() if line.strip()])
    if kind == "polygon":
        lines = _text(posted, "points").splitlines()
        return len([line for line in lines if line.strip()])
    return {"l": 6, "u": 8}.get(kind, 4)


def _rows(posted: Posted, kind: str, read: Any) -> list[Plain]:
    rows = []
    for place in range(MOST_ROWS):
        chosen = posted.get(f"{kind}_{place}_kind")
        if chosen is None:
            break
        if chosen and not posted.get(f"{kind}_{place}_drop"):
            rows.append(read(posted, f"{kind}_{place}_"))
    return rows


def _opening(posted: Posted, start: str) -> Plain:
    row: Plain = {
        "id": posted.get(f"{start}id", ""),
        "kind": posted[f"{start}kind"],
        **{name: _text(posted, f"{start}{name}") for name in BOX},
        **_given(posted, {"name": f"{start}name", "depth": f"{start}depth"}),
    }
    if posted.get(f"{start}trim"):
        row["trim"] = True
    return row


def _region(posted: Posted, start: str) -> Plain:
    names = ("name", "build_up", *BOX)
    return {
        "id": posted.get(f"{start}id", ""),
        "kind": posted[f"{start}kind"],
        **_given(posted, {name: f"{start}{name}" for name in names}),
    }


def _drain(posted: Posted) -> Plain:
    kind = posted.get("drain", "")
    if kind == "linear":
        side = _text(posted, "drain_side")
        return {
            "kind": "linear",
            "side": int(side) - 1 if side.isascii() and side.isdigit() else 0,
            "from": _text(posted, "drain_from") or "0",
            "length": _text(posted, "drain_length"),
        }
    if kind == "point":
        return {
            "kind": "point",
            "at": [_text(posted, "drain_x"), _text(posted, "drain_y")],
        }
    return {}


def _slope(posted: Posted) -> Plain:
    if not posted.get("drain"):
        return {}
    return _given(posted, {"min": "slope_min", "max": "slope_max"})


def _flat(posted: Posted) -> list[list[list[str]]]:
    """Return the flat area's corners from its box: left, bottom, width, height."""
    box = [_text(posted, f"flat_{name}") for name in BOX]
    if not any(box):
        return []
    left, bottom, width, height = box
    right, top = f"{left} + {width}", f"{bottom} + {height}"
    return [[[left, bottom], [right, bottom], [right, top], [left, top]]]


HANDLED = {
    "name", "role", "measured_to", "exposure", "use", "times", "shape", "openings",
    "regions", "build_up", "edges", "drain", "slope", "flat", "lowest", "notes", "id",
}  # fmt: skip


def kept_with(entry: Plain, before: Mapping[str, Any]) -> Plain:
    """Return the entry with what the page has no field for taken from before.

    Readings, spot heights, steps, an opening's lining, a region's pattern: none of
    them is lost because a page for it is missing.
    """
    whole = {name: value for name, value in before.items() if name not in HANDLED}
    whole |= entry
    for kind in ("openings", "regions"):
        known = {row["id"]: row for row in before.get(kind, [])}
        shown = {"kind", "name", "build_up", "depth", "trim", *BOX}
        whole[kind] = [
            {
                **{
                    name: value
                    for name, value in known.get(row["id"], {}).items()
                    if name not in shown
                },
                **row,
            }
            for row in entry[kind]
        ]
    return whole


def surface_values(entry: Mapping[str, Any]) -> dict[str, str]:
    """Return a surface of the visit file as the values of the page's fields."""
    shape = entry.get("shape", {})
    values: dict[str, Any] = {
        name: entry.get(name, "")
        for name in ("name", "role", "measured_to", "exposure", "use", "build_up")
    }
    values |= {"times": entry.get("times", 1), "notes": entry.get("notes", "")}
    values |= {"shape": shape.get("kind", "rectangle")}
    values |= {
        name: shape.get(name, "") for name in SIZES.get(shape.get("kind", ""), ())
    }
    values |= _shape_values(shape)
    for place, edge in enumerate(entry.get("edges", [])):
        values[f"edge_{place}"] = edge if isinstance(edge, str) else edge["kind"]
        if not isinstance(edge, str):
            values[f"edge_{place}_meets"] = edge.get("meets", "")
    for kind in ("opening", "region"):
        for place, row in enumerate(entry.get(f"{kind}s", [])):
            for name, value in row.items():
                values[f"{kind}_{place}_{name}"] = value
    values |= _slope_values(entry)
    return {name: str(value) for name, value in values.items() if value is not None}


def _shape_values(shape: Mapping[str, Any]) -> dict[str, Any]:
    kind = shape.get("kind")
    if kind == "quadrilateral":
        return {f"side_{place}": side for place, side in enumerate(shape["sides"])}
    if kind == "l":
        return {"cut_corner": shape.get("corner", "upper_right")}
    if kind == "run":
        corners = [*shape["corners"], *("",) * len(shape["sides"])]
        pairs = zip(shape["sides"], corners, strict=False)
        lines = [f"{side}; {corner}" if corner else side for side, corner in pairs]
        return {"run": "\n".join(lines)}
    if kind == "polygon":
        return {"points": "\n".join(f"{x}; {y}" for x, y in shape["points"])}
    if kind == "wall_of":
        return {"floor": shape["floor"], "floor_side": shape["side"] + 1}
    if kind == "stairs":
        names = ("laid", "riser_build_up")
        return {
            **{name: shape.get(name, "") for name in names},
            "rises": ", ".join(str(rise) for rise in shape.get("rises", [])),
        }
    return {}


def _slope_values(entry: Mapping[str, Any]) -> dict[str, Any]:
    drain, slope = entry.get("drain", {}), entry.get("slope", {})
    values: dict[str, Any] = {
        "drain": drain.get("kind", ""),
        "lowest": entry.get("lowest", ""),
        "slope_min": slope.get("min", ""),
        "slope_max": slope.get("max", ""),
    }
    if drain.get("kind") == "linear":
        values |= {
            "drain_side": drain["side"] + 1,
            "drain_from": drain.get("from", ""),
            "drain_length": drain["length"],
        }
    if drain.get("kind") == "point":
        values |= {"drain_x": drain["at"][0], "drain_y": drain["at"][1]}
    for outline in entry.get("flat", [])[:1]:
        (left, bottom), _right, (far, top), _end = outline
        values |= {
            "flat_left": left,
            "flat_bottom": bottom,
            "flat_width": far.rpartition(" + ")[2],
            "flat_height": top.rpartition(" + ")[2],
        }
    return values


_PATHS = (
    (re.compile(r"shape\.sides\[(\d+)\]"), "side_{0}"),
    (re.compile(r"shape\.points.*"), "points"),
    (re.compile(r"shape\.corners.*"), "run"),
    (re.compile(r"shape\.rises.*"), "rises"),
    (re.compile(r"shape\.floor"), "floor"),
    (re.compile(r"shape\.(\w+)"), "{0}"),
    (re.compile(r"openings\[(\d+)\]\.(\w+)"), "opening_{0}_{1}"),
    (re.compile(r"openings\[(\d+)\]"), "opening_{0}_kind"),
    (re.compile(r"openings"), "opening_1_kind"),
    (re.compile(r"regions\[(\d+)\]\.(\w+)"), "region_{0}_{1}"),
    (re.compile(r"regions\[(\d+)\]"), "region_{0}_kind"),
    (re.compile(r"drain\.at.*"), "drain_x"),
    (re.compile(r"drain\.(\w+)"), "drain_{0}"),
    (re.compile(r"flat.*"), "flat_left"),
    (re.compile(r"slope\.(\w+)"), "slope_{0}"),
    (re.compile(r"(\w+)"), "{0}"),
)


_OF_LISTED = {
    "run": "run",
    "stairs": "rises",
    "polygon": "points",
    "quadrilateral": "side_0",
}


def field_of_path(path: str, *, shape: str = "rectangle") -> str:
    """Return the page's field for a path of the visit file; empty when none fits.

    A shape refused as a whole, or a list typed in one field, leads to that field.
    """
    if path == "shape":
        return _OF_LISTED.get(shape, "width")
    if path.startswith("shape.sides") and shape == "run":
        return "run"
    for pattern, name in _PATHS:
        match = pattern.fullmatch(path)
        if match is not None:
            return name.format(*match.groups())
    return ""


_FULL_PATH = re.compile(r"“[\w.\[\]]*[.\]](\w+)(?:\[\d+\])*”", re.ASCII)


def sentence_on_page(refusal: Refusal) -> str:
    """Return a refusal's sentence with the field's own word instead of its full path.

    A file's reader needs `spaces[0].surfaces[2].shape.width`; on the page of one
    surface that is the width.
    """
    return _FULL_PATH.sub(lambda found: f"“{found[1].replace('_', ' ')}”",
                          refusal.sentence)  # fmt: skip

"""One form for the plans of sheets, rolls and lengths, ready to be drawn and read.

Every piece has one number. It stands on the stock it is cut from and on the surface it
goes to, so that whoever cuts and whoever sets speak of the same piece.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from materials.core.cutting.records import CutPlan, CutSheet
from materials.core.need import Need, Point

SHEET = "sheet"
ROLL = "roll"
LENGTH = "length"
BAND = "band"
FORMS = (SHEET, ROLL, LENGTH, BAND)

Line = tuple[Point, Point]


@dataclass(frozen=True, slots=True, kw_only=True)
class StockSize:
    """A sheet, roll or length by name, in ticks; `words` is what it is called.

    `width` runs along x and `height` along y, as in the plan: a roll is `width` across
    and unrolled upwards, a length lies along x and has no height to speak of. What
    comes from the rack `is_kept`; its `mark` is what is written on it.
    """

    name: str
    words: str
    width: int
    height: int
    mark: str = ""
    is_kept: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidPiece:
    """A piece where it goes: its number, and its outline on the surface in ticks."""

    number: int
    outline: tuple[Point, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidSurface:
    """A surface with the pieces that cover it, and the lines where they are folded."""

    place: str
    outline: tuple[Point, ...]
    holes: tuple[tuple[Point, ...], ...] = ()
    pieces: tuple[LaidPiece, ...] = ()
    folds: tuple[Line, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialPlan:
    """How the stock of one material is cut, and where its pieces go.

    `numbers` gives every piece of `cut` its number, `places` says where it goes.
    `verdict` is the proof in a sentence; `kerf` what the saw eats, in ticks.
    `seams` and `folds` are their lengths by place, in ticks. A plan that a deeper
    search could better names its `problem` and is `is_open`; its `record` can be kept
    in the place of planning anew, and a plan read from one `was_searched` already.
    """

    form: str
    sizes: tuple[StockSize, ...]
    cut: CutPlan
    numbers: Mapping[str, int]
    places: Mapping[str, str] = field(default_factory=dict)
    surfaces: tuple[LaidSurface, ...] = ()
    seams: Mapping[str, tuple[int, ...]] = field(default_factory=dict)
    folds: Mapping[str, tuple[int, ...]] = field(default_factory=dict)
    kerf: int = 0
    verdict: str = ""
    problem: str = ""
    record: str = ""
    was_searched: bool = False
    is_open: bool = False

    @property
    def new(self) -> int:
        """Return how many are bought: all that do not come from the rack."""
        return sum(1 for sheet in self.cut.sheets if not self.size_of(sheet).is_kept)

    @property
    def taken(self) -> tuple[str, ...]:
        """Return the pieces of the rack the plan uses up, by key."""
        return tuple(
            sheet.stock for sheet in self.cut.sheets if self.size_of(sheet).is_kept
        )

    @property
    def is_line(self) -> bool:
        """Whether only lengths matter: bars and bands."""
        return self.form in (LENGTH, BAND)

    def size_of(self, sheet: CutSheet) -> StockSize:
        """Return the stock a sheet of the plan is cut from."""
        return next(size for size in self.sizes if size.name == sheet.stock)


def plans_of(need: Need) -> tuple[MaterialPlan, ...]:
    """Return the cut plans of a need; layers of other settings have plans apart."""
    found = need.plan if isinstance(need.plan, tuple) else (need.plan,)
    return tuple(plan for plan in found if isinstance(plan, MaterialPlan))


@dataclass(frozen=True, slots=True, kw_only=True)
class CutLine:
    """One cut as it is made: its number, from where to where on its sheet.

    `part` is the box that is cut (left, bottom, width, height).
    """

    number: int
    axis: str
    at: int
    start: Point
    end: Point
    part: tuple[int, int, int, int]


def cut_lines(sheet: CutSheet, size: StockSize, kerf: int) -> tuple[CutLine, ...]:
    """Return the cuts of a sheet in order, each with the part it goes through."""
    return _replayed(sheet, size, kerf)[0]


def left_over(
    sheet: CutSheet, size: StockSize, kerf: int
) -> tuple[tuple[int, int, int, int], ...]:
    """Return the parts of a sheet that no piece is made of, as boxes."""
    corners = {(piece.x, piece.y) for piece in sheet.pieces}
    parts = _replayed(sheet, size, kerf)[1]
    return tuple(part for part in parts if part[:2] not in corners)


def _replayed(
    sheet: CutSheet, size: StockSize, kerf: int
) -> tuple[tuple[CutLine, ...], tuple[tuple[int, int, int, int], ...]]:
    """Return the cuts with their parts, and the parts at the end.

    Method: the list is replayed; a cut adds the part up to it and, where any is left,
    the part beyond the kerf.
    """
    parts: list[tuple[int, int, int, int]] = [(0, 0, size.width, size.height)]
    ended = {0}
    lines = []
    for number, cut in enumerate(sheet.cuts, start=1):
        x, y, wide, high = part = parts[cut.part]
        if cut.axis == "x":
            start, end = (cut.at, y), (cut.at, y + high)
            rest = (cut.at + kerf, y, x + wide - cut.at - kerf, high)
            kept = (x, y, cut.at - x, high)
        else:
            start, end = (x, cut.at), (x + wide, cut.at)
            rest = (x, cut.at + kerf, wide, y + high - cut.at - kerf)
            kept = (x, y, wide, cut.at - y)
        lines.append(
            CutLine(
                number=number, axis=cut.axis, at=cut.at, start=start, end=end, part=part
            )
        )
        ended.discard(cut.part)
        for new in (kept, rest):
            if min(new[2:]) > 0:
                ended.add(len(parts))
                parts.append(new)
    return tuple(lines), tuple(parts[at] for at in sorted(ended))


def by_order(plan: CutPlan) -> dict[str, int]:
    """Return numbers for the pieces of a plan in the order of their names' places.

    Shape: 1, 2, 3 … by the order in which they are cut.
    """
    names = dict.fromkeys(piece.name for sheet in plan.sheets for piece in sheet.pieces)
    return {name: number for number, name in enumerate(names, start=1)}

"""A plain drawing of the sheets of a cutting file: pieces, leftovers, numbered cuts.

Black on white, for the command line; whole numbers only, so equal plans are equal
files. y points up in the plan and down in the drawing.
"""

from __future__ import annotations

from fractions import Fraction
from xml.sax.saxutils import escape

from materials.core.cutting.cut_file import CutJob, length_text
from materials.core.cutting.records import CutPlan, CutSheet, Leftover, Placed

LONGEST = 6_000
"""The longest side of the largest stock, in the drawing's units."""

GAP = 400
BAR = 300
STYLE = (
    "rect{fill:#fff;stroke:#111;stroke-width:8}"
    "rect.sheet{fill:#e4e4e4;stroke-width:16}"
    "rect.keep{fill:#f6f6f6;stroke-dasharray:40 24}"
    "text{font:110px sans-serif;fill:#111;text-anchor:middle}"
    "text.head{text-anchor:start;font-size:150px}"
)


def plan_drawing(job: CutJob, plan: CutPlan) -> str:
    """Return all sheets of a plan, one under the other, as SVG text."""
    sizes = {row.name: (row.width, row.height) for row in job.stock}
    longest = max(max(size) for size in sizes.values())
    if job.is_length:
        longest = max(size[0] for size in sizes.values())
    pen = _Pen(job=job, longest=longest)
    y = GAP
    for number, sheet in enumerate(plan.sheets):
        kept = [row for row in plan.leftovers if row.sheet == number]
        y = pen.sheet(number, sheet, sizes[sheet.stock], kept, y)
    head = (
        '<svg xmlns="http://www.w3.org/2000/svg" '
        f'viewBox="0 0 {LONGEST + 2 * GAP} {y}"><style>{STYLE}</style>'
    )
    return "\n".join([head, *pen.lines, "</svg>", ""])


class _Pen:
    """Draw sheets downwards at one scale."""

    def __init__(self, *, job: CutJob, longest: int) -> None:
        self.job = job
        self.longest = longest
        self.lines: list[str] = []

    def _at(self, number: int) -> int:
        return number * LONGEST // self.longest

    def _size(self, number: int) -> str:
        return length_text(Fraction(number, self.job.scale))

    def sheet(
        self,
        number: int,
        sheet: CutSheet,
        size: tuple[int, int],
        kept: list[Leftover],
        y: int,
    ) -> int:
        """Draw one sheet below y; return where the next one begins."""
        flat = self.job.is_length
        high = BAR if flat else self._at(size[1])
        words = self._size(size[0])
        if not flat:
            words += f" × {self._size(size[1])}"
        self._text(
            "head", GAP, y, f"{number + 1}. {sheet.stock}, {words} {self.job.unit}"
        )
        top = y + GAP // 4
        self._box("sheet", (GAP, top, self._at(size[0]), high))
        rows: list[tuple[str, str, Placed | Leftover]] = []
        rows += [("piece", row.name, row) for row in sheet.pieces]
        rows += [("keep", "keep", row) for row in kept]
        for kind, name, row in rows:
            box = (
                GAP + self._at(row.x),
                top if flat else top + high - self._at(row.y + row.height),
                self._at(row.width),
                high if flat else self._at(row.height),
            )
            self._box(kind, box)
            words = self._size(row.width)
            if not flat:
                words += f" × {self._size(row.height)}"
            self._text("", box[0] + box[2] // 2, box[1] + box[3] // 2, name)
            self._text("", box[0] + box[2] // 2, box[1] + box[3] // 2 + 120, words)
        cuts = "; ".join(
            f"{at}: part {cut.part}, {cut.axis} = {self._size(cut.at)}"
            for at, cut in enumerate(sheet.cuts, 1)
        )
        self._text("head", GAP, top + high + GAP // 2, f"Cuts: {cuts or 'none'}")
        return top + high + 2 * GAP

    def _box(self, kind: str, box: tuple[int, int, int, int]) -> None:
        x, y, width, height = box
        self.lines.append(
            f'<rect class="{kind}" x="{x}" y="{y}" width="{width}" height="{height}"/>'
        )

    def _text(self, kind: str, x: int, y: int, words: str) -> None:
        self.lines.append(
            f'<text class="{kind}" x="{x}" y="{y}">{escape(words)}</text>'
        )

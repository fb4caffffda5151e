"""Walls larger than a sheet: seams chosen together with the cutting.

A strip left over from one wall can be what another wall lacks, so where the seams run
is decided with all walls and parts in view: from whole boards at the left corner, one
wall after the other changes to the way that saves most.
"""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

from materials.core.cutting.problem import prepared
from materials.core.cutting.records import (
    QUICK,
    Budget,
    CutPlan,
    DoesNotFit,
    Piece,
    Rules,
    Stock,
)
from materials.core.cutting.seams import (
    Layout,
    SeamRules,
    Wall,
    layouts,
    naive_layout,
    seam_length,
)
from materials.core.cutting.search import Found, Search
from materials.core.cutting.sheets import plan_sheets

TRIAL = Budget(work=6_000)
"""What one way of dividing a wall is worth looking at."""

PREPARING = 15
"""What a piece of a trial costs beside the search, counted as its work is."""

SHAKEN = 4
"""Of so many walls one gets another way before the descent begins anew."""

MOST_SHAKES = 60


Worth = tuple[int, int, int, int]
"""Cost, sheets, how full the emptiest sheet is, length of seams: less is better."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """A board of a wall: where it stands, and the name it has on the cut list."""

    name: str
    wall: str
    x: int
    y: int
    width: int
    height: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WallPlan:
    """Panels and seams of all walls, and how they are cut.

    `area_sheets` is a bound that holds for any seams whatever; the bound of `plan`
    holds for the seams chosen.
    """

    panels: tuple[Panel, ...]
    seams: int
    plan: CutPlan
    area_sheets: int
    naive_used: int


def plan_walls(
    walls: list[Wall],
    parts: list[Piece],
    stock: list[Stock],
    rules: Rules,
    *,
    seam_rules: SeamRules,
    budget: Budget = QUICK,
) -> WallPlan:
    """Return the seams of walls and the plan that cuts their panels and the parts.

    Units: lengths in one whole unit; `stock[0]` is the sheet the seams are made for.
    Raises: DoesNotFit when the rules leave no way to divide a wall; and as
    `plan_sheets`.
    Method: descent from whole boards at the left, one wall at a time, each way judged
    by a short greedy search, then again from ways shaken a little, for the budget's
    work for seams; a heuristic.
    """
    chooser = _Chooser(walls, parts, stock, rules, seam_rules=seam_rules)
    chosen = chooser.chosen(budget)
    plan = plan_sheets(chooser.pieces(chosen), stock, rules, budget=budget)
    return WallPlan(
        panels=tuple(chooser.panels(chosen)),
        seams=sum(
            seam_length(way, wall) for way, wall in zip(chosen, walls, strict=True)
        ),
        plan=plan,
        area_sheets=chooser.area_sheets,
        naive_used=chooser.naive_used,
    )


class _Chooser:
    """Try ways of dividing the walls against each other."""

    def __init__(
        self,
        walls: list[Wall],
        parts: list[Piece],
        stock: list[Stock],
        rules: Rules,
        *,
        seam_rules: SeamRules,
    ) -> None:
        self.walls = walls
        self.parts = parts
        self.stock = stock
        self.rules = rules
        self.spent = 0
        self.tried: dict[tuple[tuple[int, ...], ...], tuple[int, int, int]] = {}
        self.naive_used = 0
        area = sum(wall.width * wall.height for wall in walls)
        area += sum(part.width * part.height * part.count for part in parts)
        self.area_sheets = -(-area // max(row.width * row.height for row in stock))
        sides = stock[0].width, stock[0].height
        sheet = min(sides), max(sides)
        self.ways: list[list[Layout]] = []
        for wall in walls:
            ways = layouts(wall, sheet, seam_rules)
            naive = naive_layout(wall, sheet)
            if naive in ways:
                ways.remove(naive)
                ways.insert(0, naive)
            if not ways:
                raise DoesNotFit(
                    f"No way was found to divide “{wall.name}” by these rules; allow "
                    "narrower panels, seams off the studs or a larger sheet.",
                    field="walls",
                )
            self.ways.append(_unlike(ways))

    def panels(self, chosen: list[Layout]) -> list[Panel]:
        """Return the panels of the ways chosen, numbered wall by wall."""
        return [
            Panel(
                name=f"{wall.name} {number}",
                wall=wall.name,
                x=x,
                y=y,
                width=width,
                height=height,
            )
            for wall, way in zip(self.walls, chosen, strict=True)
            for number, (x, y, width, height) in enumerate(way, 1)
        ]

    def pieces(self, chosen: list[Layout]) -> list[Piece]:
        """Return what has to be cut for the ways chosen."""
        return [
            *(
                Piece(name=panel.name, width=panel.width, height=panel.height)
                for panel in self.panels(chosen)
            ),
            *self.parts,
        ]

    def chosen(self, budget: Budget) -> list[Layout]:
        """Return one way a wall, the best that the budget's work for seams finds."""
        rng = Random("seams")  # noqa: S311 - a search, no secret
        chosen = [ways[0] for ways in self.ways]
        best = self._worth(chosen)
        self.naive_used = best[1]
        best, chosen = self._descended(best, chosen, budget)
        for _ in range(MOST_SHAKES):
            if self._is_over(best, budget) or max(map(len, self.ways)) == 1:
                break
            tried = list(chosen)
            for at in rng.sample(range(len(tried)), -(-len(tried) // SHAKEN)):
                tried[at] = rng.choice(self.ways[at])
            found, tried = self._descended(self._worth(tried), tried, budget)
            if found < best:
                best, chosen = found, tried
        return chosen

    def _descended(
        self, best: Worth, chosen: list[Layout], budget: Budget
    ) -> tuple[Worth, list[Layout]]:
        """Change one wall after the other to its better ways until none helps."""
        before = None
        while before != best:
            before = best
            for at, ways in enumerate(self.ways):
                for way in ways:
                    if way == chosen[at]:
                        continue
                    if self._is_over(best, budget):
                        return best, chosen
                    tried = [*chosen[:at], way, *chosen[at + 1 :]]
                    worth = self._worth(tried)
                    if worth < best:
                        best, chosen = worth, tried
        return best, chosen

    def _is_over(self, best: Worth, budget: Budget) -> bool:
        """Return whether the work is done, or the areas show that no better is left."""
        if self.spent >= budget.seams or budget.stop():
            return True
        return len(self.stock) == 1 and best[1] <= self.area_sheets

    def _worth(self, chosen: list[Layout]) -> Worth:
        """Return cost, sheets, how full the emptiest sheet is, and the seams.

        What was tried once is remembered: panels of other walls may be the same.
        """
        pieces = self.pieces(chosen)
        sizes = sorted((*sorted((one.width, one.height)), one.count) for one in pieces)
        key = tuple(sizes)
        seams = sum(
            seam_length(way, wall) for way, wall in zip(chosen, self.walls, strict=True)
        )
        if key not in self.tried:
            problem = prepared(pieces, self.stock, self.rules)
            search = Search(problem, seed=0, budget=TRIAL)
            search.first((0, 0))
            self.spent += search.packer.work + PREPARING * len(pieces)
            found = search.best
            if found is None:  # pragma: no cover - first() raises instead
                raise AssertionError
            emptiest = self._emptiest(found, search)
            self.tried[key] = found.cost, len(found.sizes), emptiest
        self.spent += 1
        return *self.tried[key], seams

    def _emptiest(self, found: Found, search: Search) -> int:
        sorts = search.problem.sorts
        return min(
            sum(sorts[move[0]].area for move in moves if move[0] >= 0)
            for moves in found.moves
        )


def _unlike(ways: list[Layout]) -> list[Layout]:
    """Return the ways whose panels differ in size: where they stand cuts the same."""
    kept: dict[tuple[tuple[int, ...], ...], Layout] = {}
    for way in ways:
        sizes = tuple(sorted(tuple(sorted(box[2:])) for box in way))
        kept.setdefault(sizes, way)
    return list(kept.values())

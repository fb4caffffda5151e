"""A cutting job made ready for the search: alike pieces grouped, numbers made small.

The kerf is dealt with once, here: a blade that eats k between pieces but not at the
edge is the same as pieces k larger both ways on sheets k larger both ways, cut with
no loss. Then everything is divided by the greatest common divisor.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import gcd

from materials.core.cutting.records import (
    DoesNotFit,
    NotEnoughStock,
    Piece,
    Rules,
    Stock,
)
from materials.core.errors import OutOfRange

Way = tuple[int, int, bool, bool, bool]
"""How a piece may lie: width, height, turned, too narrow to snap in x, in y."""

MOST_PIECES = 100_000

MOST_PASSES = 100
"""Passes of the blade, one beside the other, that turn a narrow strip to dust."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sort:
    """Pieces that are the same to the saw."""

    ways: tuple[Way, ...]
    count: int
    area: int
    names: tuple[str, ...]
    """One name for every single piece."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """A stock size ready for the search; `most` None is unlimited."""

    width: int
    height: int
    price: int
    most: int | None
    name: str

    @property
    def area(self) -> int:
        """Return the area, kerf included."""
        return self.width * self.height


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """Sorts of pieces and sizes of stock in the search's own small numbers.

    `kerf` and `least` (snap and kerf together, 0 without a snap rule) are in the
    same numbers; `divisor` of the job's make one of them. What is no wider than
    `dust` is cut away and leaves nothing: one kerf, or as many as passes may take.
    """

    sorts: tuple[Sort, ...]
    sizes: tuple[Size, ...]
    kerf: int
    dust: int
    least: int
    divisor: int

    @property
    def area(self) -> int:
        """Return the area of all pieces, kerf included."""
        return sum(sort.area * sort.count for sort in self.sorts)

    @property
    def counts_sheets(self) -> bool:
        """Whether one unlimited size makes the number of sheets the question."""
        return len(self.sizes) == 1 and self.sizes[0].most is None


def prepared(
    pieces: list[Piece], stock: list[Stock], rules: Rules, *, passes: bool = False
) -> Problem:
    """Return the job ready for the search.

    With `passes` a strip too narrow to snap off may be eaten up by the blade, pass by
    pass; that needs a kerf.

    Raises: OutOfRange for empty lists, sizes and counts that are not positive, a
    kerf wider than a piece, names used twice; DoesNotFit for a piece larger than every
    stock; NotEnoughStock when the areas alone show that it cannot do.
    """
    _refuse_nonsense(pieces, stock, rules)
    kerf = rules.kerf
    numbers = [kerf, rules.snap]
    rows: list[Piece | Stock] = [*pieces, *stock]
    for row in rows:
        numbers += [row.width + kerf, row.height + kerf]
    divisor = gcd(*numbers)
    grouped: dict[tuple[Way, ...], list[str]] = {}
    for piece in pieces:
        key = _ways(piece, rules, divisor)
        grouped.setdefault(key, []).extend([piece.name] * piece.count)
    sorts = tuple(
        Sort(ways=ways, count=len(names), area=ways[0][0] * ways[0][1], names=(*names,))
        for ways, names in grouped.items()
    )
    sizes = tuple(
        Size(
            width=(row.width + kerf) // divisor,
            height=(row.height + kerf) // divisor,
            price=row.price,
            most=row.count,
            name=row.name,
        )
        for row in stock
    )
    thin, least = kerf // divisor, (rules.snap + kerf) // divisor if rules.snap else 0
    problem = Problem(
        sorts=sorts,
        sizes=sizes,
        kerf=thin,
        dust=max(thin, min(least - 1, thin * MOST_PASSES)) if passes else thin,
        least=least,
        divisor=divisor,
    )
    _refuse_misfits(problem)
    return problem


def _ways(piece: Piece, rules: Rules, divisor: int) -> tuple[Way, ...]:
    width = (piece.width + rules.kerf) // divisor
    height = (piece.height + rules.kerf) // divisor
    thin = piece.width < rules.snap, piece.height < rules.snap
    straight = (width, height, False, thin[0], thin[1])
    if piece.turn and width != height:
        return (straight, (height, width, True, thin[1], thin[0]))
    return (straight,)


def lies_in(way: Way, width: int, height: int, problem: Problem) -> bool:
    """Return whether a piece lying so can be cut from a rectangle."""
    spare_x, spare_y = width - way[0], height - way[1]
    if spare_x < 0 or spare_y < 0:
        return False
    if (way[3] and spare_x) or (way[4] and spare_y):
        return False
    dust, least = problem.dust, problem.least
    return not (dust < spare_x < least or dust < spare_y < least)


def _refuse_nonsense(pieces: list[Piece], stock: list[Stock], rules: Rules) -> None:
    if not pieces:
        raise OutOfRange("There is nothing to cut; add a piece.", field="pieces")
    if not stock:
        raise OutOfRange("There is no stock to cut from; add a sheet.", field="stock")
    for key, number in (("kerf", rules.kerf), ("snap", rules.snap)):
        if number < 0:
            raise OutOfRange(f"The {key} is below zero; enter 0 or more.", field=key)
    lists: dict[str, Sequence[Piece | Stock]] = {"pieces": pieces, "stock": stock}
    for key, rows in lists.items():
        seen: set[str] = set()
        for at, row in enumerate(rows):
            where = f"{key}[{at}]"
            _refuse_row(row, where)
            if row.name in seen:
                raise OutOfRange(
                    f"“{row.name}” stands twice; give every row its own name.",
                    field=f"{where}.name",
                )
            seen.add(row.name)
    for at, piece in enumerate(pieces):
        # A blade could leave it, but a slip of the unit is far likelier.
        if rules.kerf > min(piece.width, piece.height):
            raise OutOfRange(
                f"The kerf is wider than piece “{piece.name}”; check both.",
                field=f"pieces[{at}]",
            )
    if sum(piece.count for piece in pieces) > MOST_PIECES:
        raise OutOfRange(
            f"More than {MOST_PIECES} pieces are too many for one plan; split the job.",
            field="pieces",
        )


def _refuse_row(row: Piece | Stock, where: str) -> None:
    for key, number in (("width", row.width), ("height", row.height)):
        if number <= 0:
            raise OutOfRange(
                f"“{row.name}” needs a {key} above zero.", field=f"{where}.{key}"
            )
    if row.count is not None and row.count <= 0:
        raise OutOfRange(
            f"“{row.name}” has a count of {row.count}; enter 1 or more.",
            field=f"{where}.count",
        )
    if isinstance(row, Stock) and row.price < 0:
        raise OutOfRange(
            f"“{row.name}” has a price below zero; enter 0 or more.",
            field=f"{where}.price",
        )


def _refuse_misfits(problem: Problem) -> None:
    for sort in problem.sorts:
        pairs = [(way, size) for way in sort.ways for size in problem.sizes]
        if any(lies_in(way, size.width, size.height, problem) for way, size in pairs):
            continue
        if any(way[0] <= size.width and way[1] <= size.height for way, size in pairs):
            raise DoesNotFit(
                f"Piece “{sort.names[0]}” fits, but would be or leave a strip too "
                "narrow to snap off; cut it with a blade, or allow a narrower snap.",
                field="pieces",
            )
        raise DoesNotFit(
            f"Piece “{sort.names[0]}” cannot be cut from any stock; add a larger "
            "one, allow a turn or split the piece by a seam.",
            field="pieces",
        )
    if any(size.most is None for size in problem.sizes):
        return
    there = sum(size.area * (size.most or 0) for size in problem.sizes)
    if problem.area > there:
        short = problem.area - there
        raise NotEnoughStock(
            f"The stock is short by at least {100 * short // problem.area + 1} percent "
            "of the area of the pieces; add stock or raise a count.",
            field="stock",
        )

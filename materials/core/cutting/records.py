"""What goes into a cutting plan and what comes out of it.

Every length here is a whole number in one unit for the whole job: ticks in a quote,
or whatever makes all numbers of a file whole. Money is whole minor units. Nothing in
this package meets a binary fraction but the one kernel that talks to the LP solver.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from materials.core.errors import Refusal

AXES = ("x", "y")


class NotEnoughStock(Refusal):
    """The stock there is cannot give all the pieces."""

    code = "not_enough_stock"


class DoesNotFit(Refusal):
    """A piece fits no stock in any direction it may lie."""

    code = "does_not_fit"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """A sheet, bar or offcut that can be cut, as it is bought or kept.

    `width` runs along x, `height` along y. `price` is whole minor units each.
    `count` None means that any number can be bought; an offcut has a count of one.
    """

    name: str
    width: int
    height: int
    price: int = 0
    count: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A rectangle that is needed, so many times; `turn` allows a quarter turn."""

    name: str
    width: int
    height: int
    count: int = 1
    turn: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """How this material is cut.

    `kerf` is what the blade eats (0 for score and snap), `snap` the narrowest strip
    that can be broken off (0: any), `leftover` the smallest rectangle worth keeping,
    either way round (None: none is kept).
    """

    kerf: int = 0
    snap: int = 0
    leftover: tuple[int, int] | None = None

    @property
    def by_passes(self) -> bool:
        """Whether the blade can eat up a strip that is too narrow to snap off."""
        return self.kerf > 0 and self.snap > 1


def _no_hurry() -> int:
    return 1 << 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Budget:
    """How long to search: counted work, so that equal input gives equal plans.

    `work` counts trials of a piece in a free rectangle; `rounds` counts LP rounds (0
    leaves the LP and numpy alone), `nodes` those of the whole-number solver, `blocks`
    the steps of the exact search, `tidy` the trials of the second phase, which makes
    the largest leftover larger, `seams` the trials that choose where seams run. The
    milliseconds left are asked for now and then and may end the search early: only a
    guard, it makes plans depend on the machine.
    """

    work: int = 120_000
    rounds: int = 0
    nodes: int = 0
    blocks: int = 0
    tidy: int = 0
    seams: int = 300_000
    milliseconds_left: Callable[[], int] = _no_hurry

    def stop(self) -> bool:
        """Return whether the time is up."""
        return self.milliseconds_left() <= 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """One straight cut right through a part.

    `part` 0 is the sheet; every cut adds the part up to `at` and, when more than the
    kerf is left, the part beyond it, numbered on. `axis` "x" cuts along the line
    x = `at`, in the sheet's coordinates.
    """

    part: int
    axis: str
    at: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A piece where it lies on its sheet, with its size as it lies."""

    name: str
    x: int
    y: int
    width: int
    height: int
    turned: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Leftover:
    """A rectangle of a used sheet that is worth keeping."""

    sheet: int
    x: int
    y: int
    width: int
    height: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CutSheet:
    """One sheet to cut: which stock, what lies where, the cuts in order."""

    stock: str
    pieces: tuple[Placed, ...]
    cuts: tuple[Cut, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LowerBound:
    """No plan costs less than `cost`; no cheapest plan opens fewer than `sheets`."""

    cost: int
    sheets: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Certificate:
    """Why the lower bound holds, in a form that can be checked without the planner.

    `kind` is "area", "dff" (with `functions` along x and y), "price" (with `scale`,
    `prices` by piece and `limits` by stock) or "search" (only to be run again).
    """

    kind: str
    functions: tuple[tuple[str, int], ...] = ()
    scale: int = 0
    prices: tuple[tuple[str, int], ...] = ()
    limits: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CutPlan:
    """What to buy and how to cut it, with how good that provably is.

    `bought` counts used stock with a price, `used` all used stock. `proven` says that
    no plan costs less; with one unlimited size, that none uses fewer sheets.
    """

    sheets: tuple[CutSheet, ...]
    bought: int
    used: int
    cost: int
    lower_bound: LowerBound
    proven: bool
    certificate: Certificate
    leftovers: tuple[Leftover, ...] = ()
    seed: int = 0
    cut_count: int = field(default=0)


QUICK = Budget()
"""While somebody waits: 150 ms at most for the size of a job."""

THOROUGH = Budget(
    work=2_000_000,
    rounds=150,
    nodes=500,
    blocks=3_000_000,
    tidy=600_000,
    seams=2_000_000,
)
"""In the background, or at the command line."""

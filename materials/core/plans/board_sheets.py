"""The sheet that boards are cut from, as a plan must know it."""

from __future__ import annotations

from dataclasses import dataclass

from materials.core.cutting.records import Stock
from materials.core.cutting.seams import SeamRules
from materials.core.lengths import NOTHING, Length
from materials.core.need import RackPiece
from materials.core.plans.racked import NEW_PRICE, kept_stock

NARROWEST = Length.inch(6, exact=True)
"""Common practice: no panel is made narrower, it would break and take no screw."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """The sheet the panels are cut from, and the widest panel that comes in.

    `passes` is the shorter side of the largest panel that can be carried in, nothing
    where everything can; with `folds` a wider one is folded, else it is split.
    """

    code: str
    words: str
    width: Length
    length: Length
    kerf: Length = NOTHING
    passes: Length = NOTHING
    folds: bool = False
    rack: tuple[RackPiece, ...] = ()

    @property
    def stock(self) -> list[Stock]:
        """Return it as stock to cut, kept pieces after it; money stands elsewhere."""
        new = Stock(
            name=self.code,
            width=self.width.ticks,
            height=self.length.ticks,
            price=NEW_PRICE,
        )
        return [new, *kept_stock(self.rack, new.width * new.height)]

    @property
    def panel(self) -> tuple[Length, Length]:
        """Return the largest panel there may be: the shorter and the longer side."""
        short, long = sorted((self.width, self.length))
        if self.passes and not self.folds:
            short = min(short, self.passes)
        return short, long

    @property
    def rules(self) -> SeamRules:
        """Return what a division must keep to."""
        short, long = self.panel
        most = (short.ticks, long.ticks) if self.passes and not self.folds else None
        return SeamRules(least=min(NARROWEST, short).ticks, most=most)

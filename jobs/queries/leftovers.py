"""The rests that a job's agreed plans leave of what was bought for them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from jobs.models import BudgetLine, Job, OffcutMove
from materials.core.cutting.records import CutSheet
from materials.core.errors import Refusal
from materials.core.kept import WORTH_KEEPING
from materials.core.lengths import NOTHING, Length
from materials.core.plans.records import ROLL, MaterialPlan, left_over, plans_of
from quotes.core.takeoff import take_off
from quotes.models import Revision
from quotes.queries.estimating import agreed_inputs

MOST = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Rest:
    """A rest worth keeping: its line, its plan, the sheet or roll by number, its size.

    A length or a band has no `width`; a rest of roll is `width` across.
    """

    line: BudgetLine
    plan: MaterialPlan
    number: int
    width: Length
    length: Length

    @property
    def size(self) -> int:
        """How large it is beside others."""
        return max(self.width.ticks, 1) * self.length.ticks


def rests_of(job: Job) -> list[Rest]:
    """Return the rests of new stock worth keeping, as planned; the largest first.

    The plans are worked out once more, from what was agreed. What went to the rack in
    just this size is left out.

    Shape: at most `MOST`; none where nothing was measured.
    """
    revision = Revision.objects.get(pk=job.revision_id)
    if not revision.inputs:
        return []
    try:
        needs = take_off(*agreed_inputs(revision)).needs
    except Refusal:
        return []
    ours = job.budget_lines.filter(supplied_by="us").select_related("material")
    lines = {row.material.code: row for row in ours if row.material is not None}
    found = [
        rest
        for need in needs
        if need.supplied_by == "us" and need.material in lines
        for plan in plans_of(need)
        for rest in _rests(plan, lines[need.material])
    ]
    return sorted(_not_kept(job, found), key=lambda rest: -rest.size)[:MOST]


def _not_kept(job: Job, rests: list[Rest]) -> list[Rest]:
    """Return the rests without those that were kept: one query."""
    moves = job.offcut_moves.filter(way=OffcutMove.Way.TO_RACK)
    sizes = moves.values_list("budget_line", "offcut__width", "offcut__height")
    left = list(rests)
    for line, width, length in sizes:
        for rest in left:
            # The width of a length is its sheet's, and is not planned with.
            is_same = (rest.line.pk, rest.length) == (line, length)
            if is_same and rest.width in (NOTHING, width):
                left.remove(rest)
                break
    return left


def _rests(plan: MaterialPlan, line: BudgetLine) -> Iterator[Rest]:
    for number, sheet in enumerate(plan.cut.sheets, start=1):
        if plan.size_of(sheet).is_kept:
            continue
        for width, length in _sizes(plan, sheet):
            if all(side >= WORTH_KEEPING for side in (width, length) if side):
                yield Rest(
                    line=line, plan=plan, number=number, width=width, length=length
                )


def _sizes(plan: MaterialPlan, sheet: CutSheet) -> Iterator[tuple[Length, Length]]:
    """Yield width and length of what one sheet leaves; a length has no width."""
    for _x, _y, wide, high in left_over(sheet, plan.size_of(sheet), plan.kerf):
        if plan.is_line:
            yield NOTHING, Length(wide)
        elif plan.form == ROLL:
            yield Length(wide), Length(high)
        else:
            short, long = sorted((Length(wide), Length(high)))
            yield short, long

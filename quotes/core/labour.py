"""Operations of labour: what an hour's work yields, and the hours a job takes.

Each operation is one row of OPERATIONS: a basis (area, length, each, fixed or metres
of cut) and starting hours for one unit. Published hours are marked as not the
business's own; what nobody has published starts from shop practice and says so. An
output the business has recorded replaces either.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from fractions import Fraction

from materials.core.areas import NO_AREA
from materials.core.errors import OutOfRange, Unknown
from materials.core.need import Step
from materials.core.quantities import decimal_text, half_up
from materials.core.sources import Source
from quotes.core.choices import OwnOutput
from quotes.core.outputs import (
    SINAPI,
    Output,
    Setting,
    floor_output,
    skirting_output,
    wall_output,
)

BASES = ("area", "length", "each", "fixed", "cut")
UNITS = {"area": "m²", "length": "m", "each": "each", "fixed": "job", "cut": "m cut"}

PUBLISHED = "published elsewhere, not yours"
SHOP = "shop practice, not published"
OWN = "your own output"

SPREAD = (Fraction(1, 2), Fraction(2))
"""A starting value may be out by half or by double until own jobs are recorded."""

HOURS_STEP = Fraction(1, 100)

MOST_QUANTITY = 1_000_000
MOST_HOURS = 1000
"""For one unit of any operation: more is a slip of the thumb."""

CPWD = Source(
    title="CPWD Delhi Analysis of Rates",
    edition="2019",
    place="15.23, dismantling tile floors; a day of 8 h",
)
_SHOP = Source.shop_practice("the business's own starting value")


@dataclass(frozen=True, slots=True, kw_only=True)
class Operation:
    """One kind of work.

    Units: `setter` and `helper` are hours for one unit of the basis. `output`, where
    given, reads them from published tables by tile and room instead. `section` is the
    part of the offer the work belongs to.
    """

    key: str
    label: str
    basis: str
    section: str
    setter: Fraction = Fraction(0)
    helper: Fraction = Fraction(0)
    source: Source = _SHOP
    output: Callable[[Setting], Output] | None = None

    @property
    def mark(self) -> str:
        """Whose figure it is."""
        return SHOP if self.source is _SHOP else PUBLISHED


def _row(key: str, label: str, basis: str, section: str, hours: str) -> Operation:
    setter, helper = hours.split("/")
    return Operation(
        key=key,
        label=label,
        basis=basis,
        section=section,
        setter=Fraction(setter),
        helper=Fraction(helper),
    )


OPERATIONS: tuple[Operation, ...] = (
    Operation(
        key="set_floor_tile",
        label="Set floor tile and grout it",
        basis="area",
        section="tile",
        source=SINAPI,
        output=floor_output,
    ),
    Operation(
        key="set_wall_tile",
        label="Set wall tile and grout it",
        basis="area",
        section="tile",
        source=SINAPI,
        output=wall_output,
    ),
    Operation(
        key="set_skirting",
        label="Set tile skirting",
        basis="length",
        section="tile",
        source=SINAPI,
        output=skirting_output,
    ),
    Operation(  # 15.23.1, 10 m²: mason 0.30, beldar 0.12, coolie 0.24 day
        key="strip_floor_tile",
        label="Take up floor tile 10 to 25 mm thick",
        basis="area",
        section="prepare",
        setter=Fraction("0.24"),
        helper=Fraction("0.288"),
        source=CPWD,
    ),
    Operation(  # 15.23.2, 10 m²: 0.59, 0.18, 0.24 day
        key="strip_thick_floor_tile",
        label="Take up floor tile 25 to 40 mm thick",
        basis="area",
        section="prepare",
        setter=Fraction("0.472"),
        helper=Fraction("0.336"),
        source=CPWD,
    ),
    _row("strip_wall_tile", "Take off wall tile", "area", "prepare", "0.45/0.35"),
    _row("strip_board", "Take off old lining or board", "area", "prepare", "0.2/0.2"),
    _row("protect", "Cover the way in and clear up", "fixed", "prepare", "0.5/1"),
    _row("set_out", "Set out and mark the lines", "fixed", "prepare", "0.75/0"),
    _row("prepare_surface", "Clean and prime", "area", "prepare", "0.06/0.06"),
    _row("lay_leveller", "Pour leveller", "area", "prepare", "0.1/0.15"),
    _row("fix_board", "Fix board, joints taped", "area", "boards", "0.3/0.12"),
    _row("cut_board", "Cut board", "cut", "boards", "0.04/0"),
    _row("seal_surface", "Waterproof, corners banded", "area", "boards", "0.35/0.05"),
    _row("form_niche", "Form and line a niche", "each", "boards", "1.5/0"),
    _row("set_drain", "Set and connect the drain body", "each", "floor", "1.25/0.25"),
    _row("set_pan", "Bed the sloped pan", "each", "floor", "1/0.5"),
    _row("set_two_pans", "Bed two joined pans", "each", "floor", "1.75/0.75"),
    _row("set_pan_and_board", "Bed pan and flat board", "each", "floor", "1.5/0.75"),
    _row("cut_pan", "Trim the pan to the recess", "cut", "floor", "0.12/0"),
    _row("float_mortar_bed", "Float a sloped mortar bed", "area", "floor", "1.2/0.8"),
    _row("cut_hole", "Cut tile round a pipe or fitting", "each", "tile", "0.3/0"),
    _row("set_step", "Tile a step, tread and riser", "each", "tile", "0.9/0.2"),
    _row("mitre_edge", "Mitre and polish a tile edge", "cut", "tile", "0.6/0"),
    _row("mitre_corner", "Mitre the corner of a border", "each", "tile", "0.25/0"),
    _row("set_trim", "Set edge profile", "length", "tile", "0.1/0"),
    _row("grout_alone", "Grout or regrout without setting", "area", "finish", "0.25/0"),
    _row("seal_joint", "Seal corners and edges", "length", "finish", "0.06/0"),
    _row("clean_down", "Clean down and polish off", "area", "finish", "0.05/0.03"),
    _row("water_test", "Hold water in the floor and watch it", "each", "finish", "1/0"),
)

BY_KEY = {operation.key: operation for operation in OPERATIONS}


def operation_of(key: str) -> Operation:
    """Return the operation of a key.

    Raises: Unknown, listing the operations there are.
    """
    found = BY_KEY.get(key)
    if found is None:
        raise Unknown(
            f"“{key[:40]}” is no operation of labour; choose one of "
            f"{', '.join(sorted(BY_KEY))}.",
            field="operation",
        )
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Factor:
    """What makes work slower than the output says: setter's and helper's hours × it."""

    label: str
    value: Fraction
    source: Source = field(default_factory=lambda: Source.shop_practice("a factor"))


TIGHT = Factor(
    label="tight access",
    value=Fraction("1.1"),
    source=Source.shop_practice("way in narrower than 700 mm"),
)
HEIGHT = Factor(
    label="work above 2.7 m",
    value=Fraction("1.15"),
    source=Source.shop_practice("work from a platform"),
)
OVERHEAD = Factor(
    label="overhead work",
    value=Fraction("1.5"),
    source=Source.shop_practice("ceilings and soffits"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """So much of one operation in one place.

    Units: `quantity` in the operation's basis, with all repeats.
    """

    operation: str
    quantity: Fraction
    place: str = ""
    setting: Setting | None = None
    factors: tuple[Factor, ...] = ()
    measured: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class OperationHours:
    """The hours of one operation over the whole job.

    `least` and `most` are the setter's and helper's hours together if the starting
    value is out by its spread; with an own output they equal the hours.
    """

    operation: Operation
    quantity: Fraction
    setter: Fraction
    helper: Fraction
    mark: str
    least: Fraction
    most: Fraction
    places: tuple[str, ...]
    working: tuple[Step, ...]


def operation_hours(
    tasks: Iterable[Task], outputs: Iterable[OwnOutput] = ()
) -> tuple[OperationHours, ...]:
    """Return the hours of each operation that occurs, in the order of OPERATIONS.

    Rounds: the setter's and the helper's hours of each operation half up to 0.01 h,
    once, after the places are added up.
    Raises: Unknown for an operation that is none; OutOfRange for a quantity or an own
    output below nil.
    """
    own = {
        output.operation: _checked(output, place)
        for place, output in enumerate(outputs)
    }
    held: dict[str, list[Task]] = {}
    for task in tasks:
        operation_of(task.operation)
        if not 0 <= task.quantity <= MOST_QUANTITY:
            raise OutOfRange(
                f"{decimal_text(task.quantity, places=3)} of “{task.operation}” is not "
                f"possible; enter 0 to {MOST_QUANTITY:,}.",
                field="labour",
            )
        if task.quantity:
            held.setdefault(task.operation, []).append(task)
    return tuple(
        _hours(operation, held[operation.key], own.get(operation.key))
        for operation in OPERATIONS
        if operation.key in held
    )


def _checked(output: OwnOutput, place: int) -> OwnOutput:
    path = f"rates.outputs[{place}]"
    try:
        operation_of(output.operation)
    except Unknown as refusal:
        raise refusal.at(path) from refusal
    for name, hours in (("hours", output.hours), ("helper_hours", output.helper_hours)):
        if not 0 <= hours <= MOST_HOURS:
            raise OutOfRange(
                f"{decimal_text(hours, places=3)} hours for one unit of "
                f"“{output.operation}” are not possible; enter 0 to {MOST_HOURS}.",
                field=f"{path}.{name}",
            )
    return output


def _hours(
    operation: Operation, tasks: list[Task], own: OwnOutput | None
) -> OperationHours:
    setter = helper = Fraction(0)
    steps: list[Step] = []
    for task in tasks:
        output = _output(operation, task, own)
        factor = Fraction(1)
        for one in task.factors:
            factor *= one.value
        setter += task.quantity * output.setter * factor
        helper += task.quantity * output.helper * factor
        steps += _task_steps(operation, task, output, factor)
    setter, helper = half_up(setter, HOURS_STEP), half_up(helper, HOURS_STEP)
    mark = OWN if own else operation.mark
    least, most = (Fraction(1), Fraction(1)) if own else SPREAD
    hours = setter + helper
    steps.append(_sum_step(setter, helper, mark, (hours * least, hours * most)))
    return OperationHours(
        operation=operation,
        quantity=sum((task.quantity for task in tasks), Fraction(0)),
        setter=setter,
        helper=helper,
        mark=mark,
        least=half_up(hours * least, HOURS_STEP),
        most=half_up(hours * most, HOURS_STEP),
        places=tuple(dict.fromkeys(task.place for task in tasks if task.place)),
        working=tuple(steps),
    )


def _output(operation: Operation, task: Task, own: OwnOutput | None) -> Output:
    if own is not None:
        return Output(
            setter=own.hours,
            helper=own.helper_hours,
            row=OWN,
            source=Source(title="count: hours the business recorded on its own jobs"),
        )
    if operation.output is not None:
        return operation.output(task.setting or PLAIN_SETTING)
    return Output(
        setter=operation.setter,
        helper=operation.helper,
        row=operation.label.lower(),
        source=operation.source,
    )


PLAIN_SETTING = Setting(tile=None, room=NO_AREA)
"""Labour typed by hand says no tile and no room: it takes the slowest row."""


def _task_steps(
    operation: Operation, task: Task, output: Output, factor: Fraction
) -> list[Step]:
    quantity = task.measured or (
        f"{decimal_text(task.quantity, places=3)} {UNITS[operation.basis]}"
    )
    slower = "".join(
        f" × {decimal_text(one.value, places=3)} {one.label}" for one in task.factors
    )
    said = "; ".join(part for part in (output.row, *output.notes, task.note) if part)
    parts = (("setter", output.setter), ("helper", output.helper))
    return [
        Step(
            label=f"{role}, {task.place}" if task.place else role,
            formula=f"{quantity} × {decimal_text(hours, places=4)} h{slower} ({said})",
            result=f"{decimal_text(task.quantity * hours * factor, places=4)} h",
            source=output.source,
        )
        for role, hours in parts
        if hours
    ]


def _sum_step(
    setter: Fraction, helper: Fraction, mark: str, spread: tuple[Fraction, Fraction]
) -> Step:
    formula = mark
    if spread[0] != spread[1]:
        least, most = (decimal_text(part, places=1) for part in spread)
        formula += f"; on your jobs anything from {least} to {most} h"
    return Step(
        label="Hours, to 0.01",
        formula=formula,
        result=f"setter {decimal_text(setter, places=2)} h, "
        f"helper {decimal_text(helper, places=2)} h",
    )

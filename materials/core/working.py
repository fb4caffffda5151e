"""Small pieces every kind's working is made of: typed facts, totals, lettering."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from materials.core.areas import NO_AREA, Area
from materials.core.errors import OutOfRange
from materials.core.lengths import NOTHING, Length
from materials.core.need import Extent, Point, Step
from materials.core.quantities import decimal_text

Facts = Mapping[str, object]


def system_of(settings: Facts) -> str:
    """Return the measuring system the working is lettered in."""
    return str(settings.get("system", "metric"))


def length_in(facts: Facts, name: str, default: Length = NOTHING) -> Length:
    """Return a length among facts or settings, or the default."""
    value = facts.get(name)
    return value if isinstance(value, Length) else default


def number_in(
    facts: Facts, name: str, default: Fraction = Fraction(0)
) -> Fraction:  # fmt: skip
    """Return a number among facts or settings, or the default."""
    value = facts.get(name)
    if isinstance(value, bool):
        return default
    return Fraction(value) if isinstance(value, int | Fraction) else default


def chosen(name: str, settings: Facts, facts: Facts) -> object:
    """Return what the layer says, else what the sheet says, else None."""
    value = settings.get(name)
    return facts.get(name) if value is None else value


def chosen_length(
    name: str, settings: Facts, facts: Facts, default: Length = NOTHING
) -> Length:
    """Return a length the layer sets, else the sheet's, else the default."""
    return length_in(settings, name, length_in(facts, name, default))


def chosen_number(
    name: str, settings: Facts, facts: Facts, default: Fraction = Fraction(0)
) -> Fraction:
    """Return a number the layer sets, else the sheet's, else the default."""
    return number_in(settings, name, number_in(facts, name, default))


def total_area(extents: Sequence[Extent]) -> Area:
    """Return the area of all extents with their repeats."""
    return sum((item.area * item.times for item in extents), start=NO_AREA)


def total_corners(extents: Sequence[Extent]) -> Length:
    """Return the changes of plane of all extents with their repeats."""
    return sum((item.inside_corners * item.times for item in extents), start=NOTHING)


def total_perimeter(extents: Sequence[Extent]) -> Length:
    """Return the edges against what is not tiled, with their repeats."""
    return sum((item.perimeter * item.times for item in extents), start=NOTHING)


def bounds_of(outline: Sequence[Point]) -> tuple[Length, Length]:
    """Return width and height of the rectangle round an outline."""
    across = [x for x, _ in outline]
    upright = [y for _, y in outline]
    return Length(max(across) - min(across)), Length(max(upright) - min(upright))


def is_rectangle(outline: Sequence[Point]) -> bool:
    """Return whether an outline is an upright rectangle of four corners."""
    across = {x for x, _ in outline}
    upright = {y for _, y in outline}
    return len(outline) == 4 and len(across) == 2 and len(upright) == 2


def places_of(extents: Sequence[Extent]) -> tuple[str, ...]:
    """Return the places of the extents, each once, in order."""
    return tuple(dict.fromkeys(item.place for item in extents))


def area_step(extents: Sequence[Extent], system: str) -> Step:
    """Return the line of working that adds the areas up."""
    parts = [
        item.area.text(system) + (f" × {item.times}" if item.times > 1 else "")
        for item in extents
    ]
    return Step(
        label="Net area",
        formula=" + ".join(parts),
        result=total_area(extents).text(system),
    )


def figure(value: Fraction, unit: str = "", *, places: int = 3) -> str:
    """Return a number with its unit, for a line of working."""
    number = decimal_text(value, places=places)
    return f"{number} {unit}" if unit else number


def run_text(length: Length, system: str) -> str:
    """Return a run of joint or trim: feet to a tenth, or metres to a hundredth."""
    if system == "imperial":
        return figure(length.in_feet, "ft", places=1)
    return figure(length.in_m, "m", places=2)


def demand(condition: bool, sentence: str, *, field: str) -> None:
    """Refuse with a sentence where a condition does not hold.

    Raises: OutOfRange.
    """
    if not condition:
        raise OutOfRange(sentence, field=field)


def with_loss(
    net: Fraction, share: Fraction, unit: str
) -> tuple[Fraction, Fraction, tuple[Step, ...]]:
    """Return a quantity with a share added for loss, the loss, and its working."""
    loss = net * share
    if not loss:
        return net, loss, ()
    step = Step(
        label="Loss",
        formula=f"{figure(net, unit)} × {figure(share * 100, places=2)} %",
        result=figure(loss, unit),
    )
    return net + loss, loss, (step,)


def count_text(number: int, word: str) -> str:
    """Return a count with its word, in the singular for one.

    >>> count_text(1, "tile"), count_text(2, "tile")
    ('1 tile', '2 tiles')
    """
    return f"{number} {word}" if number == 1 else f"{number} {word}s"

"""What every kind of material must say: its facts, how it is sold, what it needs."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from materials.core.errors import NotANumber, OutOfRange, Refusal, Unknown
from materials.core.lengths import NOTHING, Length
from materials.core.need import Extent, MaterialFacts, Need
from materials.core.packaging import UNIT_WORDS, amount
from materials.core.quantities import parse_number
from materials.core.sources import Source

PARAMETER_TYPES = ("length", "number", "rate", "count", "choice", "yes_no", "text")


@dataclass(frozen=True, slots=True, kw_only=True)
class Parameter:
    """One fact of a product's sheet, from which the form and its check are built.

    `type` is one of PARAMETER_TYPES; `unit` is for people, and a number whose unit
    is known (kg, l, m2 …) may be typed with another one of that measure; `choices`
    for a choice. `may_be_nothing` lets a length or number be zero.
    """

    name: str
    label: str
    type: str
    unit: str = ""
    help: str = ""
    required: bool = True
    default: str = ""
    choices: tuple[str, ...] = ()
    may_be_nothing: bool = False


NeedOf = Callable[[MaterialFacts, Sequence[Extent], Mapping[str, object]], Need]
"""Material, extents of one layer, the layer's own settings -> the need."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """The extents of one layer with that layer's settings."""

    extents: tuple[Extent, ...]
    settings: Mapping[str, object] = field(default_factory=dict)


CoverageOf = Callable[[Fraction, Mapping[str, object]], Fraction]
"""Square metres printed on a pack, facts -> what the pack holds in the kind's unit."""

PoolOf = Callable[[MaterialFacts, Sequence[Lot]], Need]
"""Material, all layers of it over the job -> one need, cut together."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """A family of materials computed alike.

    `unit` is the unit of a need and of a pack's content; `sold_as` the usual pack.
    `unit_choice` names a parameter that decides the unit, and `units` what it says.
    `coverage`, where it is given, reads a pack that is labelled by the area it covers.
    `pool`, where it is given, works out all layers of a material together, so that
    one offcut serves several.
    """

    key: str
    label: str
    sold_as: str
    unit: str
    parameters: tuple[Parameter, ...]
    need: NeedOf
    source: Source
    pool: PoolOf | None = None
    coverage: CoverageOf | None = None
    unit_choice: str = ""
    units: Mapping[str, str] = field(default_factory=dict)

    def unit_of(self, facts: Mapping[str, object]) -> str:
        """Return the unit a material of these facts is counted in."""
        return self.units.get(str(facts.get(self.unit_choice, "")), self.unit)

    def content_of(self, text: str, facts: Mapping[str, object]) -> Fraction:
        """Return what a pack holds, as typed: 10, 25 kg, or 1.44 m2 of tile.

        Raises: NotANumber or OutOfRange for a text that is no amount of this kind.
        """
        word = text.strip().lstrip("0123456789./ ").strip().lower()
        if self.coverage is not None and word in UNIT_WORDS["m2"]:
            return self.coverage(amount(text, "m2"), facts)
        return amount(text, self.unit_of(facts))


def read_facts(
    kind: Kind, typed: Mapping[str, object], *, system: str
) -> dict[str, object]:
    """Return a product's facts as exact values, from what was typed.

    Shape: every parameter of the kind that was given or has a default.
    Raises: Unknown for a fact the kind does not have; NotALength, NotANumber or
    OutOfRange for one that cannot be read; each names the fact as its field.
    """
    known = {parameter.name: parameter for parameter in kind.parameters}
    for name in typed:
        if name not in known:
            raise Unknown(
                f"A {kind.label.lower()} has no fact “{name[:40]}”; it has "
                f"{', '.join(known)}.",
                field=name[:40],
            )
    facts: dict[str, object] = {}
    for name, parameter in known.items():
        value = typed.get(name, parameter.default)
        if value in ("", None):
            if parameter.required:
                raise OutOfRange(
                    f"A {kind.label.lower()} needs its {parameter.label.lower()}; "
                    "take it from the product sheet.",
                    field=name,
                )
            continue
        try:
            facts[name] = _READERS[parameter.type](parameter, value, system)
        except Refusal as refusal:
            raise refusal.at(name) from refusal
    return facts


def _text(value: object) -> str:
    if isinstance(value, bool) or not isinstance(value, str | int):
        raise NotANumber(f"“{value}” must be written as a text, such as “12.5”.")
    return str(value)


def _length(parameter: Parameter, value: object, system: str) -> Length:
    length = Length.parse(_text(value), system=system)
    if length < NOTHING or (length == NOTHING and not parameter.may_be_nothing):
        raise OutOfRange(f"{parameter.label} must be more than nothing.")
    return length


def _number(parameter: Parameter, value: object, system: str) -> Fraction:
    text = _text(value)
    unit = parameter.unit
    number = amount(text, unit) if unit in UNIT_WORDS else parse_number(text)
    if number < 0 or (number == 0 and not parameter.may_be_nothing):
        raise OutOfRange(f"{parameter.label} must be more than nothing.")
    return number


def _rate(parameter: Parameter, value: object, system: str) -> Fraction:
    rate = read_share(_text(value))
    if not 0 <= rate <= 1:
        raise OutOfRange(f"{parameter.label} is a share between 0 and 100 %.")
    return rate


def read_share(text: str) -> Fraction:
    """Return a share typed as `0.2`, `1/5` or `20 %`.

    >>> read_share("20 %")
    Fraction(1, 5)
    """
    plain = text.strip()
    if plain.endswith("%"):
        return parse_number(plain[:-1]) / 100
    return parse_number(plain)


def _count(parameter: Parameter, value: object, system: str) -> int:
    number = parse_number(_text(value))
    if number.denominator != 1 or not 0 <= number <= 1_000_000:
        raise OutOfRange(f"{parameter.label} is a whole number, such as 12.")
    return number.numerator


def _choice(parameter: Parameter, value: object, system: str) -> str:
    text = _text(value)
    if text not in parameter.choices:
        raise Unknown(
            f"{parameter.label} is one of {', '.join(parameter.choices)}, "
            f"not “{text[:40]}”."
        )
    return text


def _yes_no(parameter: Parameter, value: object, system: str) -> bool:
    if isinstance(value, bool):
        return value
    if value in ("yes", "no"):
        return value == "yes"
    raise Unknown(f"{parameter.label} is yes or no.")


def _words(parameter: Parameter, value: object, system: str) -> str:
    text = _text(value)
    if len(text) > 200:
        raise OutOfRange(f"{parameter.label} is too long; keep it under 200 letters.")
    return text


_READERS: Mapping[str, Callable[[Parameter, object, str], object]] = {
    "length": _length,
    "number": _number,
    "rate": _rate,
    "count": _count,
    "choice": _choice,
    "yes_no": _yes_no,
    "text": _words,
}

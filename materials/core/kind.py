"""What every kind of material must say: its facts, how it is sold, what it needs."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from materials.core.need import Extent, MaterialFacts, Need
from materials.core.sources import Source

PARAMETER_TYPES = ("length", "number", "rate", "count", "choice", "yes_no", "text")


@dataclass(frozen=True, slots=True, kw_only=True)
class Parameter:
    """One fact of a product's sheet, from which the form and its check are built.

    `type` is one of PARAMETER_TYPES; `unit` is for people; `choices` for a choice.
    """

    name: str
    label: str
    type: str
    unit: str = ""
    help: str = ""
    required: bool = True
    default: str = ""
    choices: tuple[str, ...] = ()


NeedOf = Callable[[MaterialFacts, Sequence[Extent], Mapping[str, object]], Need]
"""Material, extents of one layer, the layer's own settings -> the need."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """A family of materials computed alike.

    `unit` is the unit of a need and of a pack's content; `sold_as` the usual pack.
    """

    key: str
    label: str
    sold_as: str
    unit: str
    parameters: tuple[Parameter, ...]
    need: NeedOf
    source: Source

"""A length as it was typed beside the length it was understood to be."""

from __future__ import annotations

from dataclasses import dataclass

from materials.core.lengths import Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """A length as it was typed and as it was understood."""

    text: str
    length: Length

"""Fields of a page as data: name, label, kind, what was typed, what is wrong."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """One field of the page. `kind` is length, text, lines, choice, tick or hidden."""

    name: str
    label: str
    kind: str = "length"
    value: str = ""
    hint: str = ""
    wrong: str = ""
    choices: Sequence[tuple[str, object]] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Fields shown only for some shapes or drains; `title` heads a row of parts."""

    fields: tuple[Input, ...]
    shapes: str = ""
    drains: str = ""
    title: str = ""


@dataclass(slots=True)
class InputMaker:
    """Make fields from what was typed, putting the refusal beside its own."""

    values: Mapping[str, str]
    wrong: str = ""
    sentence: str = ""

    def __call__(
        self,
        name: str,
        label: str,
        kind: str = "length",
        *,
        hint: str = "",
        choices: Sequence[tuple[str, object]] = (),
    ) -> Input:
        """Return the field of a name as it stands."""
        return Input(
            name=name,
            label=label,
            kind=kind,
            value=self.values.get(name, ""),
            hint=hint,
            wrong=self.sentence if name == self.wrong else "",
            choices=choices,
        )

"""One place in a visit file: reads what stands there, or refuses it with its path."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import TypeVar

from moneyed import Money

from materials.core import amounts
from materials.core.errors import OutOfRange, Refusal, Unknown
from materials.core.kind import read_share
from materials.core.lengths import FOOT, IMPERIAL, METRE, NOTHING, Length
from materials.core.quantities import parse_number
from quotes.core.errors import WrongFile
from quotes.core.typed import Typed

Kept = TypeVar("Kept")

_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", re.ASCII)

WALL_LIMIT = {"imperial": Length(200 * FOOT), "metric": Length(60 * METRE)}
FLOOR_LIMIT = {"imperial": Length(500 * FOOT), "metric": Length(150 * METRE)}
_LIMIT_WORDS = {
    WALL_LIMIT["imperial"]: "200 ft",
    WALL_LIMIT["metric"]: "60 m",
    FLOOR_LIMIT["imperial"]: "500 ft",
    FLOOR_LIMIT["metric"]: "150 m",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class FileRules:
    """What holds for the whole file: what a bare number means, and its currency."""

    system: str
    currency: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Node:
    """An object of the file with the path that leads to it."""

    value: Mapping[str, object]
    path: str
    rules: FileRules

    @classmethod
    def of(cls, value: object, path: str, rules: FileRules) -> Node:
        """Return a node for an object.

        Raises: WrongFile when something else stands there.
        """
        if not isinstance(value, Mapping):
            raise WrongFile(
                f"“{path or 'the file'}” must be an object in braces.", field=path
            )
        return cls(value=value, path=path, rules=rules)

    def at(self, name: str) -> str:
        """Return the path of a field of this object."""
        return f"{self.path}.{name}" if self.path else name

    def refuse(self, name: str, sentence: str) -> WrongFile:
        """Return the refusal of a field."""
        return WrongFile(sentence, field=self.at(name))

    def only(self, *names: str) -> None:
        """Refuse a field that is not one of the names.

        Raises: WrongFile naming the field and the ones there are.
        """
        for name in self.value:
            if name not in names:
                raise self.refuse(
                    str(name)[:40],
                    f"“{self.at(str(name)[:40])}” is not a field of a visit file; "
                    f"here it takes {', '.join(names)}.",
                )

    def has(self, name: str) -> bool:
        """Return whether a field is there and not null."""
        return self.value.get(name) is not None

    def demand(self, *names: str) -> None:
        """Refuse an object that lacks a field.

        Raises: WrongFile naming the field that is missing.
        """
        for name in names:
            if not self.has(name):
                raise self.refuse(name, f"“{self.at(name)}” is missing; fill it in.")

    def read(self, name: str, reader: Callable[[str], Kept]) -> Kept:
        """Return what a reader makes of a text or whole number.

        Raises: the reader's refusal with this field's path, or WrongFile for a value
        that is neither text nor whole number (12.5 must be written "12.5").
        """
        value = self.value[name]
        if isinstance(value, bool) or not isinstance(value, str | int):
            raise self.refuse(
                name, f"“{self.at(name)}” must be a text, such as “12.5” in quotes."
            )
        try:
            return reader(str(value))
        except Refusal as refusal:
            raise refusal.at(self.at(name)) from refusal

    def text(self, name: str, default: str = "", *, most: int = 200) -> str:
        """Return a text.

        Raises: WrongFile when it is none or too long.
        """
        if not self.has(name):
            return default
        value = self.value[name]
        if not isinstance(value, str):
            raise self.refuse(name, f"“{self.at(name)}” must be a text in quotes.")
        if len(value) > most:
            raise self.refuse(
                name, f"“{self.at(name)}” is longer than {most} letters; shorten it."
            )
        return value

    def name_text(self, name: str, *, most: int = 200) -> str:
        """Return a text that may not be empty."""
        self.demand(name)
        text = self.text(name, most=most)
        if not text.strip():
            raise self.refuse(name, f"“{self.at(name)}” is empty; fill it in.")
        return text

    def choice(self, name: str, choices: Sequence[str], default: str) -> str:
        """Return one of the choices.

        Raises: Unknown, listing them.
        """
        if not self.has(name):
            return default
        value = self.value[name]
        if value not in choices:
            raise Unknown(
                f"“{self.at(name)}” is one of {', '.join(filter(None, choices))}, "
                f"not “{str(value)[:40]}”.",
                field=self.at(name),
            )
        return str(value)

    def yes(self, name: str, default: bool) -> bool:
        """Return true or false."""
        value = self.value.get(name, default)
        if not isinstance(value, bool):
            raise self.refuse(name, f"“{self.at(name)}” is true or false.")
        return value

    def count(self, name: str, default: int, *, least: int, most: int) -> int:
        """Return a whole number within limits.

        Raises: OutOfRange outside them.
        """
        if not self.has(name):
            return default
        value = self.value[name]
        if isinstance(value, bool) or not isinstance(value, int):
            raise self.refuse(name, f"“{self.at(name)}” must be a whole number.")
        if not least <= value <= most:
            shown = str(value) if abs(value) < 10**9 else "that"
            raise OutOfRange(
                f"“{self.at(name)}” is between {least} and {most}, not {shown}.",
                field=self.at(name),
            )
        return value

    def length(
        self,
        name: str,
        *,
        limit: Length | None = None,
        nothing: bool = False,
        below: bool = False,
    ) -> Typed:
        """Return a length as typed.

        `nothing` allows zero, `below` also less; `limit` is the longest allowed (a
        wall's length where none is given).
        Raises: NotALength, OutOfRange, each naming the field.
        """
        self.demand(name)
        typed = self.read(name, self._typed)
        size = typed.length
        if not below and (size < NOTHING or (size == NOTHING and not nothing)):
            raise OutOfRange(
                f"“{self.at(name)}” is “{typed.text}”; a size must be more than "
                "nothing.",
                field=self.at(name),
            )
        longest = limit or WALL_LIMIT[self.rules.system]
        if size > longest:
            raise OutOfRange(
                f"“{self.at(name)}” is {size.text(self.rules.system)}, longer than "
                f"{_LIMIT_WORDS[longest]}; check the reading.",
                field=self.at(name),
            )
        return typed

    def _typed(self, text: str) -> Typed:
        return Typed(text=text, length=signed_length(text, self.rules.system))

    def maybe_length(
        self,
        name: str,
        *,
        limit: Length | None = None,
        nothing: bool = False,
        below: bool = False,
    ) -> Typed | None:
        """Return a length, or None where the field is absent."""
        if not self.has(name):
            return None
        return self.length(name, limit=limit, nothing=nothing, below=below)

    def number(
        self, name: str, default: Fraction, *, nothing: bool = False
    ) -> Fraction:
        """Return an exact number above nothing.

        Raises: NotANumber, OutOfRange.
        """
        if not self.has(name):
            return default
        value = self.read(name, parse_number)
        if value < 0 or (value == 0 and not nothing):
            raise OutOfRange(
                f"“{self.at(name)}” must be more than nothing.", field=self.at(name)
            )
        return value

    def share(self, name: str, default: Fraction, *, most: int = 1) -> Fraction:
        """Return a share typed as 0.2, 1/5 or 20 %.

        Raises: OutOfRange below 0 or above `most`.
        """
        if not self.has(name):
            return default
        value = self.read(name, read_share)
        if not 0 <= value <= most:
            raise OutOfRange(
                f"“{self.at(name)}” is a share between 0 and {most * 100} %.",
                field=self.at(name),
            )
        return value

    def money(self, name: str) -> Money:
        """Return an amount of the file's currency with up to four decimals.

        Raises: NotANumber, OutOfRange; below nothing is refused.
        """
        self.demand(name)
        code = self.rules.currency
        amount = self.read(name, lambda text: amounts.unit_price(text, code))
        if amounts.to_units(amount) < 0:
            raise OutOfRange(
                f"“{self.at(name)}” is below nothing; a credit is not typed here.",
                field=self.at(name),
            )
        return amount

    def maybe_money(self, name: str) -> Money | None:
        """Return an amount, or None where the field is absent."""
        return self.money(name) if self.has(name) else None

    def day(self, name: str) -> date:
        """Return a date written 2026-03-04.

        Raises: WrongFile for anything else.
        """
        text = self.name_text(name)
        try:
            if _DATE.fullmatch(text) is None:
                raise ValueError(text)
            return date.fromisoformat(text)
        except ValueError as error:
            raise self.refuse(
                name, f"“{text[:20]}” is no date; write it like 2026-03-04."
            ) from error

    def child(self, name: str) -> Node:
        """Return the object in a field, empty where it is absent."""
        value = self.value.get(name)
        return Node.of({} if value is None else value, self.at(name), self.rules)

    def items(self, name: str, *, most: int) -> list[object]:
        """Return a list, empty where it is absent.

        Raises: WrongFile when it is no list; OutOfRange when it is too long.
        """
        value = self.value.get(name)
        if value is None:
            return []
        if not isinstance(value, list | tuple):
            raise self.refuse(name, f"“{self.at(name)}” must be a list in brackets.")
        if len(value) > most:
            raise OutOfRange(
                f"“{self.at(name)}” has {len(value)} entries; {most} is the most.",
                field=self.at(name),
            )
        return list(value)

    def children(self, name: str, *, most: int) -> Iterator[Node]:
        """Yield the objects of a list."""
        for index, value in enumerate(self.items(name, most=most)):
            yield Node.of(value, f"{self.at(name)}[{index}]", self.rules)

    def points(self, name: str, *, limit: Length) -> tuple[tuple[Typed, Typed], ...]:
        """Return corners, each a pair of lengths, x to the right and y up."""
        return tuple(
            self._point(f"{self.at(name)}[{index}]", pair, limit)
            for index, pair in enumerate(self.items(name, most=500))
        )

    def point(self, name: str, *, limit: Length) -> tuple[Typed, Typed]:
        """Return one corner."""
        self.demand(name)
        return self._point(self.at(name), self.value[name], limit)

    def _point(self, path: str, pair: object, limit: Length) -> tuple[Typed, Typed]:
        if not isinstance(pair, list | tuple) or len(pair) != 2:
            raise WrongFile(f"“{path}” must be a pair [x, y].", field=path)
        x, y = (
            Node(
                value={"value": value}, path=f"{path}[{index}]", rules=self.rules
            )._coordinate(limit)
            for index, value in enumerate(pair)
        )
        return x, y

    def _coordinate(self, limit: Length) -> Typed:
        inner = Node(value=self.value, path=self.path, rules=self.rules)
        try:
            typed = inner.length("value", limit=limit, nothing=True, below=True)
        except Refusal as refusal:
            raise type(refusal)(
                refusal.sentence.replace(f"{self.path}.value", self.path),
                field=self.path,
            ) from refusal
        if -typed.length > limit:
            raise OutOfRange(
                f"“{self.path}” is farther out than the longest side may be; "
                "check the reading.",
                field=self.path,
            )
        return typed


def limit_for(role: str, system: str) -> Length:
    """Return the longest side a surface of a role may have."""
    return FLOOR_LIMIT[system] if role == "floor" else WALL_LIMIT[system]


def system_of_unit(unit: object) -> str:
    """Return the measuring system of a file's unit.

    Raises: Unknown for anything but in and mm.
    """
    if unit == "in":
        return IMPERIAL
    if unit == "mm":
        return "metric"
    raise Unknown("“unit” is in or mm: what a bare number means.", field="unit")


def signed_length(text: str, system: str) -> Length:
    """Return a length that may have a minus sign before it.

    Raises: NotALength, OutOfRange.
    """
    plain = text.strip()
    if plain[:1] in ("-", "\u2212"):
        return -Length.parse(plain[1:], system=system)
    return Length.parse(text, system=system)

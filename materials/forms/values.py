"""Form fields for exact values: what is typed stays, what is understood is exact."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from moneyed import Money

from materials import queries
from materials.core import amounts
from materials.core.errors import Refusal
from materials.core.lengths import Length
from materials.core.quantities import parse_number

LONGEST = Length.mm(60_000)
"""Nothing in a room and no roll is longer: more is a slip of the thumb."""


def _text_input(**attrs: str) -> forms.TextInput:
    return forms.TextInput(attrs={"autocomplete": "off", **attrs})


class DayInput(forms.DateInput):
    """A day as browsers take it: they show nothing of a date in a local form."""

    input_type = "date"

    def __init__(self) -> None:
        super().__init__(format="%Y-%m-%d")


class LengthInput(forms.CharField):
    """A length as a setter says it; cleaned to the typed text, once understood."""

    def __init__(self, *, system: str = "", **options: Any) -> None:
        self.system = system
        options.setdefault("max_length", 80)
        options.setdefault("widget", _text_input(**{"data-length": ""}))
        super().__init__(**options)

    def clean(self, value: Any) -> Any:
        """Return the text as typed; refuse what is no length above nothing."""
        text = super().clean(value)
        if not text:
            return ""
        business = queries.business()
        system = self.system or (business.system if business else "imperial")
        try:
            length = Length.parse(text, system=system)
        except Refusal as refusal:
            raise ValidationError(refusal.sentence) from refusal
        if length.ticks < 0:
            raise ValidationError(_("A length cannot be below nothing."))
        if length > LONGEST:
            raise ValidationError(
                _("%(typed)s is longer than 60 m; check it.") % {"typed": text}
            )
        return text


_SIGN_OR_COMMA = re.compile(r"\s*[$£€]?\s*([0-9]{1,3}(?:,[0-9]{3})+|[0-9]+)(\.[0-9]+)?")


def advised(text: str) -> str:
    """Return how to write `$27` or `24,000`, or nothing where it is not that.

    A comma is not guessed at: it parts thousands in one country and decimals in the
    next, and a guess would be wrong by a thousand.
    """
    found = _SIGN_OR_COMMA.fullmatch(text)
    if found is None:
        return ""
    plain = found[1].replace(",", "") + (found[2] or "")
    return _("Write it without sign or comma: %(plain)s.") % {"plain": plain}


class NumberInput(forms.CharField):
    """An exact number above nothing; cleaned to a Fraction."""

    def __init__(
        self, *, unit: str = "", least: int = 0, most: int | None = None, **options: Any
    ) -> None:
        self.unit = unit
        self.most = most
        self.least = Fraction(least)
        options.setdefault("max_length", 40)
        options.setdefault("widget", _text_input(inputmode="decimal"))
        super().__init__(**options)

    def clean(self, value: Any) -> Any:
        """Return the number, exactly."""
        text = super().clean(value)
        if not text:
            return None
        try:
            number = parse_number(text)
        except Refusal as refusal:
            raise ValidationError(advised(text) or refusal.sentence) from refusal
        if self.most is not None and number > self.most:
            raise ValidationError(
                _("%(number)s is too large; %(most)s is the most.")
                % {"number": text, "most": self.most}
            )
        if number < self.least:
            raise ValidationError(
                _("%(number)s is too small; %(least)s is the least.")
                % {"number": text, "least": self.least}
            )
        return number


class WholeInput(forms.IntegerField):
    """A whole number in the digits 0 to 9, as every other number is read here."""

    def to_python(self, value: Any) -> int | None:
        """Return the number; refuse other scripts' digits, which a slip brings in."""
        if isinstance(value, str) and not value.isascii():
            raise ValidationError(
                _("“%(typed)s” is no whole number; type it with the digits 0 to 9.")
                % {"typed": value[:40]}
            )
        return super().to_python(value)


class ShareInput(NumberInput):
    """A percentage as typed; cleaned to a share (20 becomes 1/5), of the whole."""

    def __init__(self, *, most: int = 100, **options: Any) -> None:
        super().__init__(unit="%", most=most, **options)

    def clean(self, value: Any) -> Any:
        """Return the share, exactly."""
        number = super().clean(value.replace("%", "") if value else value)
        return None if number is None else number / 100

    def prepare_value(self, value: Any) -> Any:
        """Show a stored share as a percentage."""
        if isinstance(value, Fraction):
            percent = value * 100
            return str(percent) if percent.denominator == 1 else f"{percent}"
        return value


class MoneyInput(forms.CharField):
    """An amount of the business's currency; cleaned to Money.

    `per_unit` True allows four decimals: a price, not an amount.
    """

    def __init__(self, *, per_unit: bool = False, **options: Any) -> None:
        self.per_unit = per_unit
        options.setdefault("max_length", 24)
        options.setdefault("widget", _text_input(inputmode="decimal"))
        super().__init__(**options)

    @property
    def unit(self) -> str:
        """The business's currency, shown beside the field."""
        business = queries.business()
        return business.currency if business else ""

    def clean(self, value: Any) -> Any:
        """Return the money; refuse signs, commas, too many decimals."""
        text = super().clean(value)
        if not text:
            return None
        code = self.unit or "USD"
        try:
            money = (
                amounts.unit_price(text, code)
                if self.per_unit
                else amounts.parse_money(text, code)
            )
        except Refusal as refusal:
            raise ValidationError(advised(text) or refusal.sentence) from refusal
        if money.amount < 0:
            raise ValidationError(_("An amount below nothing cannot be entered here."))
        return money

    def prepare_value(self, value: Any) -> Any:
        """Show a stored amount as plain digits."""
        return amounts.plain(value) if isinstance(value, Money) else value

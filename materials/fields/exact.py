"""The exact columns but money: lengths, areas, rates, quantities, hours."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING, Any, ClassVar, Generic, TypeVar

from django.core.exceptions import FieldError, ValidationError
from django.db import models
from django.db.models.expressions import Combinable, register_combinable_fields
from django.utils.translation import gettext_lazy as _

from materials.core.areas import Area
from materials.core.errors import OutOfRange, Refusal
from materials.core.lengths import Length
from materials.core.quantities import half_up

_Set = TypeVar("_Set")
_Get = TypeVar("_Get")

if TYPE_CHECKING:

    class _Column(models.Field[_Set, _Get], Generic[_Set, _Get]):
        """A field as the type checker sees it."""

else:

    class _Column(models.Field, Generic[_Set, _Get]):
        """A field; the type parameters say what its attribute takes and gives."""


def _whole(stored: object) -> int:
    """Return a stored or summed value as an int, refusing what is not whole.

    A sum comes back as a Decimal on PostgreSQL. An average is no whole number of
    units: compute it in Python.
    """
    if isinstance(stored, int) and not isinstance(stored, bool):
        return stored
    if isinstance(stored, Decimal) and stored == int(stored):
        return int(stored)
    raise OutOfRange(f"{stored} is not a whole number of units; average in Python.")


class ExactField(_Column[_Set, _Get]):
    """A whole number in the database and a value type in Python."""

    unit_word: ClassVar[str]
    empty_strings_allowed = False

    def get_internal_type(self) -> str:
        """Return the column type: a 64-bit integer."""
        return "BigIntegerField"

    def to_units(self, value: Any) -> int:
        """Return the whole number to store; raise Refusal or TypeError."""
        raise NotImplementedError

    def of_units(self, units: int) -> Any:
        """Return the value of a stored whole number."""
        raise NotImplementedError

    def from_db_value(self, value: Any, *_: object) -> Any:
        """Return the value type of what the database sent."""
        return None if value is None else self.of_units(_whole(value))

    def get_prep_value(self, value: Any) -> Any:
        """Return the integer to store; nothing but the value type and 0 is taken."""
        prepared = super().get_prep_value(value)
        if prepared is None or hasattr(prepared, "resolve_expression"):
            return prepared
        if type(prepared) is int and prepared == 0:
            return 0
        return self.to_units(prepared)

    def to_python(self, value: Any) -> Any:
        """Return the value, read from a dump when it is a text with its unit."""
        if value is None:
            return None
        try:
            if isinstance(value, str) and value.endswith(f" {self.unit_word}"):
                return self.of_units(int(value.removesuffix(f" {self.unit_word}")))
            self.to_units(value)
        except Refusal as refusal:
            raise ValidationError(refusal.sentence, code=refusal.code) from refusal
        except (TypeError, ValueError) as error:
            raise ValidationError(
                _("%(value)s is not a value for this field."),
                code="invalid",
                params={"value": str(value)[:40]},
            ) from error
        return value

    def value_to_string(self, obj: models.Model) -> str:
        """Return the value for a dump: units and their word, never a bare number."""
        value = self.value_from_object(obj)
        return "" if value is None else f"{self.to_units(value)} {self.unit_word}"

    def get_placeholder(self, value: Any, *_: object) -> str:
        """Return the place for a value in SQL; refuse arithmetic with bare numbers."""
        if hasattr(value, "resolve_expression") and not isinstance(
            value.output_field, type(self)
        ):
            raise FieldError(f"{self.name}: do this arithmetic in Python.")
        return "%s"


_BIGGEST = 2**63 - 1


def in_column(units: int) -> int:
    """Return whole units that fit a 64-bit column; refuse larger ones."""
    if abs(units) > _BIGGEST:
        raise OutOfRange("This is too large to be kept; check the decimal point.")
    return units


class LengthField(ExactField[_Set, _Get]):
    """A `Length`, stored as ticks of 1/1920 mm."""

    description = _("An exact length")
    unit_word = "ticks"
    _pyi_private_set_type: Length | Combinable
    _pyi_private_get_type: Length
    _pyi_lookup_exact_type: Length | int

    def to_units(self, value: Any) -> int:
        """Return the ticks of a Length."""
        if not isinstance(value, Length):
            raise TypeError(f"{self.name} takes a Length, not {type(value).__name__}.")
        return in_column(value.ticks)

    def of_units(self, units: int) -> Length:
        """Return the Length of so many ticks."""
        return Length(units)


class AreaField(ExactField[_Set, _Get]):
    """An `Area`, stored as square ticks; up to 2.5 million square metres."""

    description = _("An exact area")
    unit_word = "square ticks"
    _pyi_private_set_type: Area | Combinable
    _pyi_private_get_type: Area
    _pyi_lookup_exact_type: Area | int

    def to_units(self, value: Any) -> int:
        """Return the square ticks of an Area."""
        if not isinstance(value, Area):
            raise TypeError(f"{self.name} takes an Area, not {type(value).__name__}.")
        return in_column(value.ticks2)

    def of_units(self, units: int) -> Area:
        """Return the Area of so many square ticks."""
        return Area(units)


class ScaledField(ExactField[_Set, _Get]):
    """A Fraction stored as a whole number of 1/`per_whole`.

    A value between two steps is refused, so that the one rounding is seen where it is
    done: store `RateField.nearest(value)`.
    """

    per_whole: ClassVar[int]
    _pyi_private_set_type: Fraction | Combinable
    _pyi_private_get_type: Fraction
    _pyi_lookup_exact_type: Fraction | int

    @classmethod
    def nearest(cls, value: Fraction) -> Fraction:
        """Return the nearest value the column can keep, halves away from zero."""
        return half_up(value, Fraction(1, cls.per_whole))

    def to_units(self, value: Any) -> int:
        """Return the whole number of steps of a Fraction or an int."""
        if isinstance(value, bool) or not isinstance(value, Fraction | int):
            raise TypeError(
                f"{self.name} takes a Fraction, not {type(value).__name__}."
            )
        units = Fraction(value) * self.per_whole
        if units.denominator != 1:
            raise OutOfRange(
                f"{value} is no whole number of 1/{self.per_whole:,}; round it first."
            )
        return in_column(units.numerator)

    def to_python(self, value: Any) -> Any:
        """Return the Fraction; an int becomes one."""
        checked = super().to_python(value)
        return Fraction(checked) if isinstance(checked, int) else checked

    def get_default(self) -> Any:
        """Return the default as a Fraction, as a stored row would give it."""
        default = super().get_default()
        return Fraction(default) if isinstance(default, int) else default

    def of_units(self, units: int) -> Fraction:
        """Return the Fraction of so many steps."""
        return Fraction(units, self.per_whole)


class RateField(ScaledField[_Set, _Get]):
    """A rate or share as a Fraction (20 % is 1/5), stored in millionths."""

    description = _("An exact rate")
    unit_word = "millionths"
    per_whole = 1_000_000


class QuantityField(ScaledField[_Set, _Get]):
    """A quantity in its own unit as a Fraction, stored in millionths."""

    description = _("An exact quantity")
    unit_word = "millionths"
    per_whole = 1_000_000


class HoursField(ScaledField[_Set, _Get]):
    """Hours as a Fraction, stored in thousandths (3.6 seconds)."""

    description = _("Exact hours")
    unit_word = "thousandths"
    per_whole = 1_000


def add_up(*fields: type[ExactField[Any, Any]]) -> None:
    """Let `F("a") + F("b")` and `-` of two like columns give the like value."""
    for field in fields:
        for connector in (Combinable.ADD, Combinable.SUB):
            register_combinable_fields(field, connector, field, field)


add_up(LengthField, AreaField, RateField, QuantityField, HoursField)

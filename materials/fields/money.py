"""Money: an integer column and a currency column, behind django-money's face."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, Any, TypeVar

from django.conf import settings
from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Lookup, Q, lookups
from django.db.models.expressions import Col, Combinable
from django.db.models.query_utils import DeferredAttribute
from django.utils.translation import gettext_lazy as _
from djmoney.forms import MoneyField as MoneyFormField
from djmoney.models.fields import CurrencyField
from djmoney.money import Money as ShownMoney  # noqa: TID251 - what models hand out
from moneyed import Money

from materials.core import amounts
from materials.core.errors import MixedCurrencies
from materials.fields.exact import ExactField, add_up

_Set = TypeVar("_Set")
_Get = TypeVar("_Get")

if TYPE_CHECKING:
    _Lookup = Lookup[Any]
else:
    _Lookup = Lookup


class MoneyAttribute(DeferredAttribute):
    """The attribute of a MoneyField: gives Money, takes Money.

    A plain Decimal is what the database sends; it takes the row's currency.
    """

    field: MoneyField[Any, Any]

    def __get__(self, instance: Any, cls: Any = None) -> Any:
        value = super().__get__(instance, cls)
        if instance is not None and isinstance(value, Decimal):
            code = getattr(instance, self.field.currency_name)
            if not code:
                raise MixedCurrencies(f"{self.field.name} has an amount, no currency.")
            tidy = amounts.from_units(amounts.units_of(value), code)
            value = ShownMoney(tidy.amount, tidy.currency)
            instance.__dict__[self.field.attname] = value
        return value

    def __set__(self, instance: Any, value: Any) -> None:
        if isinstance(value, Money):
            if not isinstance(value, ShownMoney):
                value = ShownMoney(value.amount, value.currency)
            setattr(instance, self.field.currency_name, value.currency.code)
        elif value is None and self.field.null:
            setattr(instance, self.field.currency_name, None)
        elif value is not None and not isinstance(value, Decimal):
            raise TypeError(
                f"{self.field.name} takes Money, not {type(value).__name__}."
            )
        instance.__dict__[self.field.attname] = value


class MoneyField(ExactField[_Set, _Get]):
    """Money: a whole number of 1/10,000 of the currency unit and its currency code.

    django-money's currency column, Money class and form field, over an integer. Its
    own amount column is a DecimalField, which SQLite keeps as a binary float; and a
    subclass of that would let `F("a") + F("b")` come back as a DecimalField, ten
    thousand times too large. So this is a field beside it.

    The attribute is Money; `Sum`, `Max` and `values()` give a Decimal in whole
    currency units, exactly: filter by currency first. `filter(field=Money(...))`
    compares the currency too. After a change of currency, save both columns.
    """

    description = _("An exact amount of money")
    unit_word = "ten-thousandths"
    descriptor_class = MoneyAttribute
    _pyi_private_set_type: Money | Combinable
    _pyi_private_get_type: Money
    _pyi_lookup_exact_type: Money | int

    def __init__(
        self,
        verbose_name: Any = None,
        *,
        default_currency: str | None = None,
        **kwargs: Any,
    ) -> None:
        self.default_currency = default_currency
        super().__init__(verbose_name, **kwargs)
        # The currency column stands just before the amount's.
        self.creation_counter += 1
        models.Field.creation_counter += 1

    @property
    def currency_name(self) -> str:
        """The name of the column that holds the currency code."""
        return f"{self.name}_currency"

    def contribute_to_class(
        self, cls: type[models.Model], name: str, private_only: bool = False
    ) -> None:
        """Add the amount and, outside migrations, its currency to the model.

        A migration names both columns itself; adding the second here would make
        Django believe in a column the table does not have yet.
        """
        if cls.__module__ != "__fake__":
            currency = CurrencyField(  # type: ignore[no-untyped-call]
                price_field=self,
                default=self.default_currency,
                editable=False,
                null=self.null,
            )
            currency.creation_counter = self.creation_counter - 1
            cls.add_to_class(f"{name}_currency", currency)
        super().contribute_to_class(cls, name, private_only)

    def deconstruct(self) -> Any:
        """Return what a migration writes down."""
        name, path, args, kwargs = super().deconstruct()
        if self.default_currency is not None:
            kwargs["default_currency"] = self.default_currency
        return name, path, args, kwargs

    def to_units(self, value: Any) -> int:
        """Return the 1/10,000 of Money, or of a number of whole currency units."""
        if isinstance(value, Money):
            return amounts.to_units(value)
        if isinstance(value, Decimal) or type(value) is int:
            return amounts.units_of(Decimal(value))
        raise TypeError(f"{self.name} takes Money, not {type(value).__name__}.")

    def of_units(self, units: int) -> Decimal:
        """Return the amount; the attribute joins it with its currency."""
        return Decimal(units).scaleb(-4)

    def validate(self, value: Any, model_instance: models.Model | None) -> None:
        """Refuse a currency the business cannot use, then as any field does."""
        code = value.currency.code if isinstance(value, Money) else None
        if code is not None and code not in settings.CURRENCIES:
            raise ValidationError(
                _("%(code)s is not a currency this program keeps; use %(codes)s."),
                code="unknown_currency",
                params={"code": code, "codes": ", ".join(settings.CURRENCIES)},
            )
        super().validate(value, model_instance)

    def pre_save(self, model_instance: models.Model, add: bool) -> Any:
        """Return the money to store; refuse one whose currency column was changed."""
        value = super().pre_save(model_instance, add)
        if isinstance(value, Money):
            code = getattr(model_instance, self.currency_name)
            if code != value.currency.code:
                raise MixedCurrencies(f"{value} cannot be stored as {code}.")
        return value

    def get_lookup(self, lookup_name: str) -> Any:
        """Return a lookup; `in` is refused, for it would not compare currencies."""
        return None if lookup_name == "in" else super().get_lookup(lookup_name)

    def formfield(self, *args: Any, **kwargs: Any) -> Any:
        """Return django-money's pair of boxes, amount and currency."""
        defaults: dict[str, Any] = {
            "form_class": MoneyFormField,
            "decimal_places": 4,
            "max_digits": 16,
            "currency_choices": [(code, code) for code in settings.CURRENCIES],
            "default_currency": self.default_currency,
        }
        return super().formfield(**(defaults | kwargs))


class _SameCurrency(_Lookup):
    """A comparison with Money: the amounts as asked, and the same currency."""

    def __init__(self, lhs: Any, rhs: Any) -> None:
        self.code = rhs.currency.code if isinstance(rhs, Money) else None
        super().__init__(lhs, rhs)

    def as_sql(self, compiler: Any, connection: Any) -> tuple[str, tuple[Any, ...]]:
        """Return the SQL of the comparison, and of the currency's beside it."""
        sql, params = super().as_sql(compiler, connection)
        if self.code is None or not isinstance(self.lhs, Col):
            return sql, tuple(params)
        field: Any = self.lhs.target
        column: Any = field.model._meta.get_field(field.currency_name)
        same, more = compiler.compile(Col(self.lhs.alias, column))
        return f"({sql} AND {same} = %s)", (*params, *more, self.code)


for _comparison in (
    lookups.Exact,
    lookups.GreaterThan,
    lookups.GreaterThanOrEqual,
    lookups.LessThan,
    lookups.LessThanOrEqual,
):
    MoneyField.register_lookup(
        type(f"Money{_comparison.__name__}", (_SameCurrency, _comparison), {})
    )


@MoneyField.register_lookup
class InStepsOf(_Lookup):
    """`amount__in_steps_of=100`: a whole multiple of 100 stored units.

    Written with integer division, which both databases cut towards zero alike.
    """

    lookup_name = "in_steps_of"
    prepare_rhs = False

    def as_sql(self, compiler: Any, connection: Any) -> tuple[str, tuple[Any, ...]]:
        """Return the SQL of the condition."""
        step = int(self.rhs)
        left, params = self.process_lhs(compiler, connection)
        return f"({left} / {step} * {step} = {left})", (*params, *params)


def amount_check(field: str) -> models.CheckConstraint:
    """Return the constraint that keeps a money field payable.

    The currency is one of `settings.CURRENCIES` and the amount a whole number of its
    minor units (ISO 4217): no half cents, no sen.
    """
    condition = Q()
    by_digits: dict[int, list[str]] = {}
    for code in sorted(settings.CURRENCIES):
        by_digits.setdefault(amounts.minor_digits(code), []).append(code)
    for digits, codes in sorted(by_digits.items()):
        step = amounts.UNITS_PER_WHOLE // 10**digits
        condition |= Q(
            **{f"{field}_currency__in": codes, f"{field}__in_steps_of": step}
        )
    return models.CheckConstraint(
        condition=condition,
        name=f"%(class)s_{field}_payable",
        violation_error_code="not_payable",
        violation_error_message=_(
            "An amount has more decimals than its currency; write whole cents or pence."
        ),
    )


def price_check(field: str) -> models.CheckConstraint:
    """Return the constraint that keeps a unit price's currency a known one."""
    return models.CheckConstraint(
        condition=Q(**{f"{field}_currency__in": sorted(settings.CURRENCIES)}),
        name=f"%(class)s_{field}_currency_known",
    )


add_up(MoneyField)

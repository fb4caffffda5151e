"""Every column that holds a quantity is a whole number on both databases."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from django.apps import apps
from django.db import models

from materials.fields import LengthField, MoneyField
from materials.fields.exact import ExactField

OWN = ("materials", "quotes", "jobs")


def own_fields() -> Iterator[tuple[str, models.Field[Any, Any]]]:
    """Give every column of every table of our own, many-to-many tables included."""
    for label in OWN:
        for model in apps.get_app_config(label).get_models(include_auto_created=True):
            for field in model._meta.local_concrete_fields:
                yield f"{model._meta.label}.{field.name}", field


@pytest.mark.parametrize(("where", "field"), list(own_fields()))
def test_a_column_is_no_float_and_no_decimal(
    where: str, field: models.Field[Any, Any]
) -> None:
    inexact = (models.FloatField, models.DecimalField, models.DurationField)

    assert not isinstance(field, inexact), where
    assert field.get_internal_type() not in ("FloatField", "DecimalField"), where


def test_money_columns_have_their_currency_beside_them() -> None:
    money = [(where, one) for where, one in own_fields() if isinstance(one, MoneyField)]

    assert money
    for where, field in money:
        currency: Any = field.model._meta.get_field(f"{field.name}_currency")
        assert currency.max_length == 3, where
        assert currency.null == field.null, where


def test_exact_columns_are_whole_numbers_of_64_bits() -> None:
    exact = [one for _, one in own_fields() if isinstance(one, ExactField)]

    assert {one.get_internal_type() for one in exact} == {"BigIntegerField"}
    assert LengthField().get_internal_type() == "BigIntegerField"

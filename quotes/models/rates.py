"""What an hour costs, what is added, and how fast the business works."""

from __future__ import annotations

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from materials.fields import MoneyField, QuantityField, RateField


class Rates(models.Model):
    """The business's rates: one row, changed by the owner, copied into each quote."""

    class Method(models.TextChoices):
        """Markup is a share of cost, margin a share of price: never confused."""

        MARKUP = "markup", _("markup on cost")
        MARGIN = "margin", _("margin of price")

    setter_wage = MoneyField(help_text=_("an hour, with on-costs"))
    helper_wage = MoneyField(help_text=_("an hour, with on-costs"))
    overhead_per_hour = MoneyField(help_text=_("per productive hour"))
    overhead_yearly = MoneyField(null=True, blank=True)
    productive_hours = QuantityField(
        default=1400, help_text=_("hours a year that clients pay for")
    )
    hours_per_day = QuantityField(default=8)
    travel_per_visit = MoneyField(null=True, blank=True)
    method = models.CharField(max_length=8, choices=Method, default=Method.MARKUP)
    materials_rate = RateField(default=0)
    labour_rate = RateField(default=0)
    other_rate = RateField(default=0)
    contingency = RateField(default=0)
    minimum_charge = MoneyField(null=True, blank=True)
    round_to = MoneyField(null=True, blank=True)
    deposit = RateField(default=0)
    holds_days = models.PositiveIntegerField(default=30)
    payment_days = models.PositiveIntegerField(default=14)
    exclusions = models.TextField(blank=True)
    terms = models.TextField(blank=True)

    class Meta:
        """One row only."""

        constraints = [models.CheckConstraint(condition=Q(pk=1), name="rates_are_one")]

    def __str__(self) -> str:
        return "rates"


class OperationRate(models.Model):
    """The business's own output for an operation, in place of the published one."""

    operation = models.CharField(max_length=60, unique=True)
    hours_per_unit = QuantityField()
    helper_hours_per_unit = QuantityField(default=0)
    evidence = models.CharField(max_length=200)
    taken_on = models.DateField()

    class Meta:
        """By operation."""

        ordering = ["operation"]

    def __str__(self) -> str:
        return self.operation

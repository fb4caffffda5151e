"""What an hour costs, what is added, and how fast the business works."""

from __future__ import annotations

from fractions import Fraction

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from materials.fields import MoneyField, QuantityField, RateField
from quotes.core.layout.orders import ASSUMED


def usual_certainty() -> Fraction:
    """Return how sure tile is ordered until a business says otherwise."""
    return ASSUMED.certainty


def usual_breakage_cut() -> Fraction:
    """Return the share of cut tiles that break, an assumption."""
    return ASSUMED.habits.broken_a_cut


def usual_breakage_whole() -> Fraction:
    """Return the share of whole tiles that break, an assumption."""
    return ASSUMED.habits.broken_a_whole


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
    order_certainty = RateField(default=usual_certainty)
    saved_of_eight = models.PositiveSmallIntegerField(default=ASSUMED.habits.saved)
    broken_cut = RateField(default=usual_breakage_cut)
    broken_whole = RateField(default=usual_breakage_whole)
    rules = models.JSONField(
        default=dict,
        blank=True,
        help_text=_("which rules for joints hold, as the visit file names them"),
    )
    minimum_charge = MoneyField(null=True, blank=True)
    round_to = MoneyField(null=True, blank=True)
    deposit = RateField(default=0)
    holds_days = models.PositiveIntegerField(default=30)
    payment_days = models.PositiveIntegerField(default=14)
    exclusions = models.TextField(blank=True)
    terms = models.TextField(blank=True)

    class Meta:
        """One row only."""

        constraints = [
            models.CheckConstraint(condition=Q(pk=1), name="rates_are_one"),
            models.CheckConstraint(
                condition=Q(saved_of_eight__gte=1, saved_of_eight__lte=7),
                name="some_of_eight_offcuts_are_saved",
            ),
        ]

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

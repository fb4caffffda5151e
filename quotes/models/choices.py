"""Build-ups, and the owner's last word over what was computed."""

from __future__ import annotations

import uuid

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from materials.fields import MoneyField, QuantityField, amount_check, price_check


class BuildUp(models.Model):
    """Ordered layers; without a visit it is one of the business's own templates.

    `layers` are in the words of the visit file: role, material, supplied_by (us,
    client, others), thickness, pattern, joint and what else a layer may carry.
    """

    uid = models.UUIDField(unique=True, default=uuid.uuid4)
    visit = models.ForeignKey(
        "quotes.Visit", models.CASCADE, null=True, blank=True, related_name="build_ups"
    )
    key = models.CharField(max_length=80)
    name = models.CharField(max_length=160)
    layers = models.JSONField(default=list, blank=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        """A key names one build-up of a visit, and one template."""

        ordering = ["name", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["visit", "key"], name="build_up_once"),
            models.UniqueConstraint(
                fields=["key"], condition=Q(visit=None), name="template_once"
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Overrule(models.Model):
    """The owner's figure instead of a computed one, with the reason; both stay."""

    class What(models.TextChoices):
        """Which figure of the line."""

        QUANTITY = "quantity", _("quantity")
        PACKS = "packs", _("packs")
        HOURS = "hours", _("hours")
        COST = "cost", _("cost")
        PRICE = "price", _("price")

    uid = models.UUIDField(unique=True, default=uuid.uuid4)
    visit = models.ForeignKey("quotes.Visit", models.CASCADE, related_name="overrules")
    line = models.CharField(max_length=120, help_text=_("the line's key"))
    what = models.CharField(max_length=10, choices=What)
    value = models.CharField(max_length=40, help_text=_("as typed"))
    reason = models.CharField(max_length=200)
    person = models.ForeignKey(
        "materials.Person", models.PROTECT, null=True, blank=True, related_name="+"
    )
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        """One overrule for a figure; never without a reason."""

        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["visit", "line", "what"], name="overrule_once"
            ),
            models.CheckConstraint(condition=~Q(reason=""), name="overrule_says_why"),
        ]

    def __str__(self) -> str:
        return f"{self.line} {self.what} = {self.value}"


class HandLine(models.Model):
    """A line typed by hand: text, quantity, unit, cost and price of one unit."""

    uid = models.UUIDField(unique=True, default=uuid.uuid4)
    visit = models.ForeignKey("quotes.Visit", models.CASCADE, related_name="hand_lines")
    position = models.PositiveIntegerField(default=0)
    text = models.CharField(max_length=200)
    cost_class = models.CharField(max_length=20, default="labour")
    quantity = QuantityField(default=1)
    unit = models.CharField(max_length=20, blank=True)
    unit_cost = MoneyField(null=True, blank=True)
    unit_price = MoneyField()

    class Meta:
        """As ordered by the setter."""

        ordering = ["position", "pk"]
        constraints = [price_check("unit_price")]

    def __str__(self) -> str:
        return self.text


class Allowance(models.Model):
    """A sum for goods still to be chosen, or for work not yet definable."""

    class Nature(models.TextChoices):
        """Goods to choose (settled at cost) or a provisional sum."""

        ALLOWANCE = "allowance", _("allowance")
        PROVISIONAL = "provisional_sum", _("provisional sum")

    uid = models.UUIDField(unique=True, default=uuid.uuid4)
    visit = models.ForeignKey("quotes.Visit", models.CASCADE, related_name="allowances")
    nature = models.CharField(max_length=16, choices=Nature)
    position = models.PositiveIntegerField(default=0)
    text = models.CharField(max_length=200)
    amount = MoneyField()

    class Meta:
        """As ordered by the setter."""

        ordering = ["position", "pk"]
        constraints = [amount_check("amount")]

    def __str__(self) -> str:
        return self.text

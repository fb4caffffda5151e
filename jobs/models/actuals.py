"""What the work really took: purchases, returns, use, offcuts, hours.

Rows are entries: none is changed afterwards. A purchase entered wrongly is put right
by a return, a day sheet by another day sheet.
"""

from __future__ import annotations

import uuid

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from jobs.models.booking import BudgetLine, Job
from materials.fields import (
    HoursField,
    MoneyField,
    QuantityField,
    RateField,
    amount_check,
    price_check,
)


class Purchase(models.Model):
    """One receipt or order: where, when, what tax, and the photo of it.

    `received_on` is empty while it is only ordered.
    """

    uid = models.UUIDField(unique=True, default=uuid.uuid4)
    job = models.ForeignKey(Job, models.PROTECT, related_name="purchases")
    supplier = models.ForeignKey(
        "materials.Supplier", models.PROTECT, null=True, blank=True, related_name="+"
    )
    reference = models.CharField(max_length=60, blank=True)
    bought_on = models.DateField()
    received_on = models.DateField(null=True, blank=True)
    tax_rate = RateField(default=0)
    tax_recoverable = models.BooleanField(default=True)
    photo = models.ForeignKey(
        "materials.StoredFile", models.PROTECT, null=True, blank=True, related_name="+"
    )
    note = models.CharField(max_length=200, blank=True)
    made_by = models.ForeignKey(
        "materials.Person", models.PROTECT, null=True, blank=True, related_name="+"
    )
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        """Newest first; nothing arrives before it is ordered."""

        ordering = ["-bought_on", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(received_on__isnull=True)
                | Q(received_on__gte=F("bought_on")),
                name="purchase_arrives_after_order",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.bought_on} {self.supplier or self.reference}"


class PurchaseLine(models.Model):
    """So many packs at a price each, matched to a budget line or to none.

    `quantity` is the content bought, in the unit of the budget line. `net` is what
    was paid before tax; `tax_cost` the tax on it that cannot be recovered.
    """

    purchase = models.ForeignKey(Purchase, models.CASCADE, related_name="lines")
    budget_line = models.ForeignKey(
        BudgetLine, models.PROTECT, null=True, blank=True, related_name="purchases"
    )
    material = models.ForeignKey(
        "materials.Material", models.PROTECT, null=True, blank=True, related_name="+"
    )
    cost_class = models.CharField(max_length=20, default="materials")
    text = models.CharField(max_length=200)
    packs = models.PositiveIntegerField()
    quantity = QuantityField()
    price_each = MoneyField()
    net = MoneyField()
    tax_cost = MoneyField()
    lot = models.CharField(max_length=60, blank=True)
    shade = models.CharField(max_length=40, blank=True)
    calibre = models.CharField(max_length=40, blank=True)

    class Meta:
        """As on the receipt; something was bought, for nothing or more."""

        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(packs__gt=0, quantity__gt=0), name="purchase_line_has_some"
            ),
            models.CheckConstraint(
                condition=Q(price_each__gte=0), name="purchase_price_not_below"
            ),
            price_check("price_each"),
            amount_check("net"),
            amount_check("tax_cost"),
        ]

    def __str__(self) -> str:
        return self.text


class GoodsReturn(models.Model):
    """Packs taken back to the merchant, and the credit they gave."""

    uid = models.UUIDField(unique=True, default=uuid.uuid4)
    line = models.ForeignKey(PurchaseLine, models.PROTECT, related_name="returns")
    returned_on = models.DateField()
    packs = models.PositiveIntegerField()
    quantity = QuantityField()
    credit = MoneyField()
    note = models.CharField(max_length=200, blank=True)
    made_by = models.ForeignKey(
        "materials.Person", models.PROTECT, null=True, blank=True, related_name="+"
    )
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        """Oldest first; something went back."""

        ordering = ["returned_on", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(packs__gt=0, quantity__gt=0), name="return_has_some"
            ),
            models.CheckConstraint(
                condition=Q(credit__gte=0), name="return_credit_not_below"
            ),
            amount_check("credit"),
        ]

    def __str__(self) -> str:
        return f"{self.returned_on} {self.line}"


class Usage(models.Model):
    """A quantity of a budget line that was used, broken or left over."""

    class How(models.TextChoices):
        """What became of it."""

        USED = "used", _("used")
        BROKEN = "broken", _("broken")
        LEFT = "left", _("left over")

    uid = models.UUIDField(unique=True, default=uuid.uuid4)
    job = models.ForeignKey(Job, models.PROTECT, related_name="usages")
    budget_line = models.ForeignKey(BudgetLine, models.PROTECT, related_name="usages")
    noted_on = models.DateField()
    how = models.CharField(max_length=6, choices=How, default=How.USED)
    quantity = QuantityField()
    note = models.CharField(max_length=200, blank=True)
    made_by = models.ForeignKey(
        "materials.Person", models.PROTECT, null=True, blank=True, related_name="+"
    )
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        """Oldest first."""

        ordering = ["noted_on", "pk"]
        constraints = [
            models.CheckConstraint(condition=Q(quantity__gt=0), name="usage_has_some"),
        ]

    def __str__(self) -> str:
        return f"{self.noted_on} {self.how} {self.budget_line}"


class OffcutMove(models.Model):
    """A piece that went to the rack from this job, or from the rack into it."""

    class Way(models.TextChoices):
        """Which way it went."""

        TO_RACK = "to_rack", _("to the rack")
        FROM_RACK = "from_rack", _("from the rack")

    uid = models.UUIDField(unique=True, default=uuid.uuid4)
    job = models.ForeignKey(Job, models.PROTECT, related_name="offcut_moves")
    budget_line = models.ForeignKey(
        BudgetLine, models.PROTECT, null=True, blank=True, related_name="offcut_moves"
    )
    offcut = models.ForeignKey("materials.Offcut", models.PROTECT, related_name="moves")
    way = models.CharField(max_length=10, choices=Way)
    moved_on = models.DateField()
    made_by = models.ForeignKey(
        "materials.Person", models.PROTECT, null=True, blank=True, related_name="+"
    )
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        """Oldest first; a piece goes each way once."""

        ordering = ["moved_on", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["offcut", "way"], name="offcut_moves_once"),
        ]

    def __str__(self) -> str:
        return f"{self.moved_on} {self.way} {self.offcut}"


class DaySheet(models.Model):
    """What one person worked on one job on one day."""

    uid = models.UUIDField(unique=True, default=uuid.uuid4)
    job = models.ForeignKey(Job, models.PROTECT, related_name="day_sheets")
    person = models.ForeignKey(
        "materials.Person", models.PROTECT, related_name="day_sheets"
    )
    worked_on = models.DateField()
    note = models.CharField(max_length=200, blank=True)
    made_by = models.ForeignKey(
        "materials.Person", models.PROTECT, null=True, blank=True, related_name="+"
    )
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        """Newest first."""

        ordering = ["-worked_on", "-pk"]

    def __str__(self) -> str:
        return f"{self.worked_on} {self.person}"


class HoursLine(models.Model):
    """Hours on one operation, at the wage and overhead that held that day."""

    class Role(models.TextChoices):
        """Whose wage the hour costs."""

        SETTER = "setter", _("setter")
        HELPER = "helper", _("helper")

    sheet = models.ForeignKey(DaySheet, models.CASCADE, related_name="lines")
    budget_line = models.ForeignKey(
        BudgetLine, models.PROTECT, null=True, blank=True, related_name="hours"
    )
    text = models.CharField(max_length=200)
    role = models.CharField(max_length=6, choices=Role, default=Role.SETTER)
    hours = HoursField()
    wage = MoneyField()
    overhead = MoneyField()

    class Meta:
        """As entered; some time, and not more than a day has."""

        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=Q(hours__gt=0), name="hours_some"),
            price_check("wage"),
            price_check("overhead"),
        ]

    def __str__(self) -> str:
        return f"{self.text} {self.hours} h"

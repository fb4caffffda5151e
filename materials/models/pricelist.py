"""The price list: materials of registered kinds, their packs and dated prices."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from materials.fields import MoneyField, QuantityField, RateField, price_check


class Supplier(models.Model):
    """A merchant: where packs are bought."""

    name = models.CharField(max_length=120, unique=True)
    account = models.CharField(max_length=40, blank=True)
    contact = models.CharField(max_length=200, blank=True)
    delivery_charge = MoneyField(null=True, blank=True)
    minimum_order = MoneyField(null=True, blank=True)
    notes = models.TextField(blank=True)

    class Meta:
        """By name."""

        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class Material(models.Model):
    """A product: its registered kind and the facts of its sheet."""

    code = models.CharField(max_length=40, unique=True)
    name = models.CharField(max_length=160)
    kind = models.CharField(max_length=40, db_index=True)
    facts = models.JSONField(
        default=dict, blank=True, help_text=_("as typed, checked by the kind")
    )
    suited_to = models.JSONField(default=list, blank=True)
    facts_source = models.CharField(max_length=200, blank=True)
    one_lot = models.BooleanField(default=False)
    in_use = models.BooleanField(default=True)
    notes = models.TextField(blank=True)

    class Meta:
        """By kind, then name."""

        ordering = ["kind", "name"]
        indexes = [
            models.Index(
                fields=["kind", "name", "id", "in_use"], name="material_listed"
            )
        ]

    def __str__(self) -> str:
        return f"{self.code} {self.name}"


class Pack(models.Model):
    """How a material is sold by one supplier: content in the kind's unit."""

    material = models.ForeignKey(Material, models.CASCADE, related_name="packs")
    supplier = models.ForeignKey(Supplier, models.PROTECT, related_name="packs")
    supplier_code = models.CharField(max_length=60, blank=True)
    label = models.CharField(max_length=80)
    content = QuantityField()
    lead_days = models.PositiveIntegerField(default=0)
    special_order = models.BooleanField(default=False)
    returnable = models.BooleanField(default=True)
    restocking = RateField(default=0)
    in_use = models.BooleanField(default=True)

    class Meta:
        """A pack holds something; a label is unique for material and supplier."""

        ordering = ["material", "label"]
        constraints = [
            models.CheckConstraint(condition=Q(content__gt=0), name="pack_holds"),
            models.UniqueConstraint(
                fields=["material", "supplier", "label"], name="pack_once"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.material.code} {self.label}"


class Price(models.Model):
    """What one pack costs from a date on, before tax, and where that came from."""

    pack = models.ForeignKey(Pack, models.CASCADE, related_name="prices")
    valid_from = models.DateField()
    valid_until = models.DateField(null=True, blank=True)
    least_packs = models.PositiveIntegerField(default=1)
    amount = MoneyField()
    origin = models.CharField(max_length=200, blank=True)
    entered_at = models.DateTimeField(auto_now_add=True)
    entered_by = models.ForeignKey(
        "materials.Person", models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta:
        """One price for a pack, a date and a break; never below nothing."""

        ordering = ["pack", "-valid_from", "least_packs"]
        constraints = [
            models.CheckConstraint(condition=Q(amount__gte=0), name="price_not_below"),
            models.CheckConstraint(
                condition=Q(valid_until__isnull=True)
                | Q(valid_until__gte=F("valid_from")),
                name="price_ends_after_start",
            ),
            models.UniqueConstraint(
                fields=["pack", "valid_from", "least_packs"], name="price_once"
            ),
            price_check("amount"),
        ]

    def __str__(self) -> str:
        return f"{self.pack} {self.amount} from {self.valid_from}"

"""Clients and the places where work is done."""

from __future__ import annotations

import uuid

from django.db import models
from django.utils.translation import gettext_lazy as _


class Client(models.Model):
    """Who asked for the work and pays for it."""

    class Nature(models.TextChoices):
        """A household or a business: tax and terms may differ."""

        HOUSEHOLD = "household", _("household")
        BUSINESS = "business", _("business")

    uid = models.UUIDField(unique=True, default=uuid.uuid4)
    name = models.CharField(max_length=160)
    nature = models.CharField(max_length=12, choices=Nature, default=Nature.HOUSEHOLD)
    address = models.TextField(blank=True)
    country = models.CharField(max_length=2, blank=True)
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=40, blank=True)
    tax_number = models.CharField(max_length=40, blank=True)
    notes = models.TextField(blank=True)
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        """By name."""

        ordering = ["name", "pk"]
        indexes = [models.Index(fields=["name", "id"], name="client_by_name")]

    def __str__(self) -> str:
        return self.name


class Site(models.Model):
    """Where the work is: its address and what stands in the way."""

    uid = models.UUIDField(unique=True, default=uuid.uuid4)
    client = models.ForeignKey(Client, models.PROTECT, related_name="sites")
    address = models.TextField()
    facts = models.JSONField(
        default=dict,
        blank=True,
        help_text=_("access, storey, substrate, year built, parking, power, water"),
    )
    notes = models.TextField(blank=True)

    class Meta:
        """Oldest first."""

        ordering = ["pk"]

    def __str__(self) -> str:
        return self.address.splitlines()[0] if self.address else str(self.uid)

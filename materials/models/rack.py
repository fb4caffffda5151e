"""The rack: offcuts kept, with size, origin, cost carried and place."""

from __future__ import annotations

import uuid

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from materials.fields import LengthField, MoneyField, price_check


class Offcut(models.Model):
    """A piece worth keeping; `outline` only where it is no rectangle."""

    class State(models.TextChoices):
        """Where it is now."""

        ON_RACK = "on_rack", _("on the rack")
        USED = "used", _("used")
        NOT_FOUND = "not_found", _("not found")
        WRITTEN_OFF = "written_off", _("written off")

    uid = models.UUIDField(unique=True, default=uuid.uuid4)
    material = models.ForeignKey(
        "materials.Material", models.PROTECT, related_name="offcuts"
    )
    width = LengthField()
    height = LengthField()
    thickness = LengthField(null=True, blank=True)
    outline = models.JSONField(null=True, blank=True, help_text=_("corners, in ticks"))
    lot = models.CharField(max_length=60, blank=True)
    origin = models.CharField(max_length=200, blank=True)
    cost_carried = MoneyField()
    place = models.CharField(max_length=80, blank=True)
    state = models.CharField(max_length=12, choices=State, default=State.ON_RACK)
    kept_on = models.DateField()
    counted_on = models.DateField(null=True, blank=True)
    ended_on = models.DateField(null=True, blank=True)
    end_reason = models.CharField(max_length=200, blank=True)

    class Meta:
        """Newest first."""

        ordering = ["-kept_on", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(width__gt=0, height__gt=0), name="offcut_has_size"
            ),
            price_check("cost_carried"),
        ]

    def __str__(self) -> str:
        return f"{self.material.code} {self.width} x {self.height}"

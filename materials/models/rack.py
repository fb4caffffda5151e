"""The rack: offcuts kept, with size, origin, cost carried and place."""

from __future__ import annotations

import uuid

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from materials.fields import LengthField, MoneyField, price_check


class Offcut(models.Model):
    """A piece worth keeping; `outline` only where it is no rectangle.

    While it lies on the rack a job may have it reserved: `reserved_for` is the job's
    number, `reserved_visit` the visit whose plans may go on counting on it.
    """

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
    reserved_for = models.CharField(max_length=20, blank=True)
    reserved_visit = models.UUIDField(null=True, blank=True)
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
            models.CheckConstraint(
                condition=Q(reserved_for="", reserved_visit__isnull=True)
                | ~Q(reserved_for="") & Q(state="on_rack"),
                name="offcut_reserved_on_the_rack",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.mark} {self.material.code} {self.width} x {self.height}"

    @property
    def mark(self) -> str:
        """What is written on the piece, and found on cut lists."""
        return f"R-{self.pk}"

"""What was measured: visits, spaces, surfaces, openings, regions, photos.

Each row carries the id its maker gave it and a version, so that a phone can send it
again. Measured facts are kept as typed, in the words of the visit file; the core
reads them to exact lengths each time, so page, file and quote cannot disagree.
"""

from __future__ import annotations

import uuid

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _


class MeasuredTo(models.TextChoices):
    """The face a reading was taken to."""

    FRAMING = "framing", _("framing")
    OLD_FINISH = "old_finish", _("old finish")
    BOARD = "board", _("board")
    FINISHED = "finished", _("finished face")


class Exposure(models.TextChoices):
    """What the surface will meet."""

    DRY = "dry", _("dry")
    SPLASH = "splash", _("splash")
    WET = "wet", _("wet")
    STEAM = "steam", _("steam")
    UNDER_WATER = "under_water", _("under water")
    OUTDOORS = "outdoors", _("outdoors, no frost")
    OUTDOORS_FROST = "outdoors_frost", _("outdoors, frost")
    HEATED = "heated", _("heated floor")
    NEAR_HEAT = "near_heat", _("near heat")


class Use(models.TextChoices):
    """How a floor is walked on."""

    NONE = "", _("nothing special")
    BAREFOOT_WET = "barefoot_wet", _("barefoot and wet")
    RAMP = "ramp", _("ramp")
    STAIRS = "stairs", _("stairs")
    TRAFFIC = "traffic", _("traffic")


class Visit(models.Model):
    """One measuring of one site for one client."""

    uid = models.UUIDField(unique=True, default=uuid.uuid4)
    site = models.ForeignKey("quotes.Site", models.PROTECT, related_name="visits")
    title = models.CharField(max_length=160)
    held_on = models.DateField()
    system = models.CharField(max_length=10, help_text=_("what a bare number means"))
    facts = models.JSONField(
        default=dict, blank=True, help_text=_("scope, exclusions, terms, labour lines")
    )
    copied_from = models.ForeignKey(
        "self", models.SET_NULL, null=True, blank=True, related_name="copies"
    )
    version = models.PositiveIntegerField(default=1)
    made_by = models.ForeignKey(
        "materials.Person", models.PROTECT, null=True, blank=True, related_name="+"
    )
    made_at = models.DateTimeField(auto_now_add=True)
    changed_at = models.DateTimeField(auto_now=True)

    class Meta:
        """Newest first."""

        ordering = ["-held_on", "-pk"]
        indexes = [models.Index(fields=["-held_on", "-id"], name="visit_by_day")]

    def __str__(self) -> str:
        return self.title


class Space(models.Model):
    """A room or a recess; it can stand several times."""

    uid = models.UUIDField(unique=True, default=uuid.uuid4)
    visit = models.ForeignKey(Visit, models.CASCADE, related_name="spaces")
    name = models.CharField(max_length=120)
    position = models.PositiveIntegerField(default=0)
    times = models.PositiveIntegerField(default=1)
    facts = models.JSONField(default=dict, blank=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        """As ordered by the setter; at least once."""

        ordering = ["position", "pk"]
        constraints = [
            models.CheckConstraint(condition=Q(times__gte=1), name="space_stands"),
        ]

    def __str__(self) -> str:
        return self.name


class Surface(models.Model):
    """A floor, a wall, a recess: its shape as typed and the face measured to."""

    uid = models.UUIDField(unique=True, default=uuid.uuid4)
    space = models.ForeignKey(Space, models.CASCADE, related_name="surfaces")
    name = models.CharField(max_length=120)
    position = models.PositiveIntegerField(default=0)
    role = models.CharField(max_length=20)
    times = models.PositiveIntegerField(default=1)
    measured_to = models.CharField(
        max_length=12, choices=MeasuredTo, default=MeasuredTo.FRAMING
    )
    exposure = models.CharField(max_length=16, choices=Exposure, default=Exposure.DRY)
    use = models.CharField(max_length=16, choices=Use, default=Use.NONE, blank=True)
    build_up = models.CharField(max_length=80, blank=True)
    facts = models.JSONField(
        default=dict, blank=True, help_text=_("shape, edges, drain as typed")
    )
    version = models.PositiveIntegerField(default=1)

    class Meta:
        """As ordered by the setter."""

        ordering = ["position", "pk"]
        constraints = [
            models.CheckConstraint(condition=Q(times__gte=1), name="surface_stands"),
        ]

    def __str__(self) -> str:
        return self.name


class Opening(models.Model):
    """A window, door, niche, fixture or valve cut out of a surface."""

    uid = models.UUIDField(unique=True, default=uuid.uuid4)
    surface = models.ForeignKey(Surface, models.CASCADE, related_name="openings")
    name = models.CharField(max_length=120, blank=True)
    kind = models.CharField(max_length=20)
    position = models.PositiveIntegerField(default=0)
    facts = models.JSONField(
        default=dict, blank=True, help_text=_("left, bottom, width, height")
    )
    version = models.PositiveIntegerField(default=1)

    class Meta:
        """As ordered by the setter."""

        ordering = ["position", "pk"]

    def __str__(self) -> str:
        return self.name or self.kind


class Region(models.Model):
    """A part of a surface with its own build-up, tile, pattern and set-out."""

    uid = models.UUIDField(unique=True, default=uuid.uuid4)
    surface = models.ForeignKey(Surface, models.CASCADE, related_name="regions")
    name = models.CharField(max_length=120, blank=True)
    kind = models.CharField(max_length=20)
    position = models.PositiveIntegerField(default=0)
    build_up = models.CharField(max_length=80, blank=True)
    facts = models.JSONField(
        default=dict, blank=True, help_text=_("where, pattern, set-out")
    )
    version = models.PositiveIntegerField(default=1)

    class Meta:
        """As ordered by the setter."""

        ordering = ["position", "pk"]

    def __str__(self) -> str:
        return self.name or self.kind


class VisitPhoto(models.Model):
    """A photo taken in a space."""

    uid = models.UUIDField(unique=True, default=uuid.uuid4)
    visit = models.ForeignKey(Visit, models.CASCADE, related_name="photos")
    space = models.ForeignKey(
        Space, models.SET_NULL, null=True, blank=True, related_name="photos"
    )
    file = models.ForeignKey("materials.StoredFile", models.PROTECT, related_name="+")
    note = models.CharField(max_length=200, blank=True)
    taken_at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return self.note or str(self.file)

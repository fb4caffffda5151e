"""What guards all other rows: client-made keys, the audit trail, stored files."""

from __future__ import annotations

from django.db import models


class RequestKey(models.Model):
    """A key the client made before sending: one key, one effect.

    Written first in the transaction of the effect. `digest` is SHA-256 of what was
    sent, so that the same key with other content is refused; `outcome` is where the
    first effect can be found, so that a repeat gets the same answer.
    """

    key = models.CharField(max_length=64, unique=True)
    purpose = models.CharField(max_length=60)
    person = models.ForeignKey(
        "materials.Person", models.PROTECT, null=True, blank=True, related_name="+"
    )
    digest = models.CharField(max_length=64)
    outcome = models.CharField(max_length=300, blank=True)
    made_at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return f"{self.purpose} {self.key}"


class AuditEntry(models.Model):
    """One step of the append-only trail, chained by hash to the step before."""

    seq = models.PositiveBigIntegerField(unique=True)
    at = models.DateTimeField()
    actor = models.ForeignKey(
        "materials.Person", models.PROTECT, null=True, blank=True, related_name="+"
    )
    actor_kind = models.CharField(max_length=20)
    action = models.CharField(max_length=60)
    subject = models.CharField(max_length=120)
    facts = models.JSONField(default=dict, blank=True)
    previous = models.CharField(max_length=64)
    digest = models.CharField(max_length=64)

    class Meta:
        """In order of time."""

        ordering = ["seq"]

    def __str__(self) -> str:
        return f"{self.seq} {self.action} {self.subject}"


class AuditHead(models.Model):
    """Where the trail ends: one row, locked while a step is appended.

    It keeps the steps in one order on both databases, and a trail cut short shows.
    """

    seq = models.PositiveBigIntegerField(default=0)
    digest = models.CharField(max_length=64, blank=True)

    class Meta:
        """One row only."""

        constraints = [
            models.CheckConstraint(condition=models.Q(pk=1), name="head_is_one"),
        ]

    def __str__(self) -> str:
        return f"{self.seq} {self.digest[:12]}"


class StoredFile(models.Model):
    """A photo or document kept by content: the same bytes are stored once."""

    digest = models.CharField(max_length=64, unique=True)
    media_type = models.CharField(max_length=60)
    size = models.PositiveIntegerField()
    original_name = models.CharField(max_length=200, blank=True)
    kept_at = models.DateTimeField(auto_now_add=True)
    kept_by = models.ForeignKey(
        "materials.Person", models.PROTECT, null=True, blank=True, related_name="+"
    )

    def __str__(self) -> str:
        return f"{self.original_name or self.digest[:12]}"

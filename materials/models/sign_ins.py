"""What sign-in remembers: guesses made in vain, and the sign-ins that are open."""

from __future__ import annotations

from django.db import models


class Guesses(models.Model):
    """Tries to sign in that were not right, for one name, device or address.

    `subject` is a keyed digest: people type passwords where the name goes. `recent`
    holds the times of the last quarter of an hour.
    """

    subject = models.CharField(max_length=64, unique=True)
    recent = models.JSONField(default=list)
    in_all = models.PositiveIntegerField(default=0)
    last_at = models.DateTimeField(db_index=True)

    def __str__(self) -> str:
        return f"{self.in_all} in vain"

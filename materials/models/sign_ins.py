"""What sign-in remembers: guesses made in vain, and the sign-ins that are open."""

from __future__ import annotations

from django.db import models


class Guesses(models.Model):
    """Tries to sign in that were not right, for one name, device or address.

    `subject` is a keyed digest: people type passwords where the name goes. `recent`
    holds the times of the last quarter of an hour. `person` is whose they are where
    that is sure: on a device they signed in on, or once their password was right.
    """

    subject = models.CharField(max_length=64, unique=True)
    recent = models.JSONField(default=list)
    in_all = models.PositiveIntegerField(default=0)
    last_at = models.DateTimeField(db_index=True)
    person = models.ForeignKey(
        "materials.Person", models.CASCADE, null=True, blank=True, related_name="+"
    )

    def __str__(self) -> str:
        return f"{self.in_all} in vain"


class SignIn(models.Model):
    """A person signed in on one device: the face of a session that is open.

    The session itself says when it began and was last seen; these are kept here for
    the person to read. A row without its session is over, and is swept away at the
    person's next sign-in.
    """

    person = models.ForeignKey(
        "materials.Person", models.CASCADE, related_name="sign_ins"
    )
    session_key = models.CharField(max_length=40, unique=True)
    device = models.CharField(max_length=10)
    system = models.CharField(max_length=40, blank=True)
    keeps = models.BooleanField(default=False)
    began_at = models.DateTimeField()
    seen_at = models.DateTimeField()

    class Meta:
        """Seen last, shown first."""

        ordering = ["-seen_at", "-pk"]

    def __str__(self) -> str:
        return f"{self.device}, {self.system}" if self.system else self.device

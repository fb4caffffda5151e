"""Who signs in, and as what."""

from __future__ import annotations

from django.contrib.auth.models import AbstractUser
from django.db import models
from django.utils.translation import gettext_lazy as _


class Person(AbstractUser):
    """A person of the business; the role decides what the server shows."""

    class Role(models.TextChoices):
        """Owner sees all; a setter no price of sale or margin; office the money."""

        OWNER = "owner", _("owner")
        SETTER = "setter", _("setter")
        OFFICE = "office", _("office")

    role = models.CharField(max_length=10, choices=Role, default=Role.SETTER)
    initials = models.CharField(max_length=4, blank=True)

    def __str__(self) -> str:
        return self.get_full_name() or self.username

    @property
    def sees_prices(self) -> bool:
        """Whether prices of sale and what the client pays may be shown."""
        return self.role in (self.Role.OWNER, self.Role.OFFICE)

    @property
    def sees_margins(self) -> bool:
        """Whether margins and wages may be shown."""
        return self.role == self.Role.OWNER

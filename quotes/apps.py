"""Tell Django about the quotes app."""

from __future__ import annotations

from django.apps import AppConfig
from django.db.models.signals import post_migrate

from materials.core.guards import Guard


class QuotesConfig(AppConfig):
    """The quotes app."""

    name = "quotes"
    default_auto_field = "django.db.models.BigAutoField"
    guards: tuple[Guard, ...] = ()

    def ready(self) -> None:
        """Keep its tables' guards raised after migrations; list its papers."""
        from materials.models.guarding import keep_raised
        from quotes import printing  # noqa: F401
        from quotes.models.guarding import GUARDS

        self.guards = GUARDS
        post_migrate.connect(keep_raised, sender=self)

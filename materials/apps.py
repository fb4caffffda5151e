"""Tell Django about the materials app."""

from __future__ import annotations

from django.apps import AppConfig
from django.db.models.signals import post_migrate

from materials.core.guards import Guard


class MaterialsConfig(AppConfig):
    """The materials app."""

    name = "materials"
    default_auto_field = "django.db.models.BigAutoField"
    guards: tuple[Guard, ...] = ()

    def ready(self) -> None:
        """Register checks and tasks; keep its guards raised after migrations."""
        from materials import checks, tasks  # noqa: F401
        from materials.models.guarding import GUARDS, keep_raised

        self.guards = GUARDS
        post_migrate.connect(keep_raised, sender=self)

"""Tell Django about the jobs app."""

from __future__ import annotations

from django.apps import AppConfig
from django.db.models.signals import post_migrate

from materials.core.guards import Guard


class JobsConfig(AppConfig):
    """The jobs app."""

    name = "jobs"
    default_auto_field = "django.db.models.BigAutoField"
    guards: tuple[Guard, ...] = ()

    def ready(self) -> None:
        """Keep guards raised and rows sealed after migrations; list its papers."""
        from jobs import printing  # noqa: F401
        from jobs.models.guarding import GUARDS
        from jobs.services.sealing import seal_after_migration
        from materials.models.guarding import keep_raised

        self.guards = GUARDS
        post_migrate.connect(keep_raised, sender=self)
        post_migrate.connect(seal_after_migration, sender=self)

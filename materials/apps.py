"""Tell Django about the materials app."""

from __future__ import annotations

from django.apps import AppConfig


class MaterialsConfig(AppConfig):
    """The materials app."""

    name = "materials"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Register the checks of stored rows."""
        from materials import checks  # noqa: F401

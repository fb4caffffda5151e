"""Tell Django about the jobs app."""

from __future__ import annotations

from django.apps import AppConfig


class JobsConfig(AppConfig):
    """The jobs app."""

    name = "jobs"
    default_auto_field = "django.db.models.BigAutoField"

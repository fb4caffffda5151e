"""Tell Django about the quotes app."""

from __future__ import annotations

from django.apps import AppConfig


class QuotesConfig(AppConfig):
    """The quotes app."""

    name = "quotes"
    default_auto_field = "django.db.models.BigAutoField"

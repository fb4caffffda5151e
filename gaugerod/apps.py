"""Tell Django about the wiring, so that its settings are checked at every start."""

from __future__ import annotations

from django.apps import AppConfig


class GaugerodConfig(AppConfig):
    """The project itself: no rows and no pages, only checks."""

    name = "gaugerod"

    def ready(self) -> None:
        """Register the checks of the settings."""
        from gaugerod import checks  # noqa: F401

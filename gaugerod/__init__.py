"""Wiring: settings, addresses, queue. No behaviour of the business lives here."""

from __future__ import annotations

from gaugerod.celery import app as celery_app

__all__ = ["celery_app"]

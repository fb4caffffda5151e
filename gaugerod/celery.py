"""The queue's application; without REDIS_URL tasks run at once, in process."""

from __future__ import annotations

import os

from celery import Celery

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "gaugerod.settings")
app = Celery("gaugerod")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()

"""The queue's application; without REDIS_URL tasks run at once, in process."""

from __future__ import annotations

import os
from typing import Any

from celery import Celery, Task
from celery.signals import setup_logging

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "gaugerod.settings")


class SpeakingTask(Task):  # type: ignore[misc]  # celery has no types
    """A task that speaks the business's language on its clock, as pages do."""

    def __call__(self, *args: Any, **kwargs: Any) -> Any:
        """Run the task."""
        from gaugerod.language import speaking_as
        from materials import queries

        with speaking_as(queries.business()):
            return super().__call__(*args, **kwargs)


@setup_logging.connect  # type: ignore[untyped-decorator]  # celery has no types
def leave_logging_alone(**_given: Any) -> None:
    """Keep the handlers of the settings: the worker's own know no filter of secrets."""


app = Celery("gaugerod", task_cls=SpeakingTask)
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()

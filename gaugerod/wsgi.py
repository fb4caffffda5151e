"""The door for web servers."""

from __future__ import annotations

import os

from django.core.wsgi import get_wsgi_application

from gaugerod.logs import shut_in_loggers_of_the_server

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "gaugerod.settings")
application = get_wsgi_application()
shut_in_loggers_of_the_server()

"""The entry for gunicorn and other WSGI servers: `gunicorn labcases.wsgi`."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "labcases.settings")

application = get_wsgi_application()

"""The entry of the web server."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")

application = get_wsgi_application()

# Views are imported with the addresses, and those with the first request unless asked for: better now than then.
from django.urls import get_resolver  # noqa: E402  # settings have to be there first

get_resolver().url_patterns  # noqa: B018  # reading it is what imports them

"""Other processes beside a test."""

import os

from django.conf import settings
from django.db import connection


def with_this_database() -> dict[str, str]:
    """The environment in which another process has the database of the tests."""
    at = connection.settings_dict
    url = f"postgresql:///{at['NAME']}?host={at['HOST']}&user={at['USER']}&password={at['PASSWORD']}&port={at['PORT']}"
    return {
        **os.environ,
        "DATABASE_URL": url,
        "DJANGO_SETTINGS_MODULE": "config.settings",
        "PYTHONPATH": str(settings.ROOT),
    }

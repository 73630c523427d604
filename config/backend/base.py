"""Django's PostgreSQL backend on the private server of `config.embedded`.

Starting at the first connection, not when the settings are read, keeps commands that need no
database (`help`, `makemigrations --check` of a lint run, the type checker) free of a server.
"""

from pathlib import Path
from typing import Any

from django.conf import settings
from django.db.backends.postgresql import base

from config.embedded import server


class DatabaseWrapper(base.DatabaseWrapper):
    """PostgreSQL in `settings.DATA_DIR`, started by its first user."""

    def get_connection_params(self) -> dict[str, Any]:
        server.hold(Path(settings.DATA_DIR))
        return super().get_connection_params()

"""Reads go to a replica where there is one."""

from typing import Any

from django.conf import settings


class ReplicaRouter:
    """Writes to `default`; reads from `replica` where `DATABASE_REPLICA_URL` names one."""

    def db_for_read(self, model: Any, **hints: Any) -> str | None:
        return None

    def db_for_write(self, model: Any, **hints: Any) -> str | None:
        return "default"

    def allow_relation(self, first: Any, second: Any, **hints: Any) -> bool | None:
        return True

    def allow_migrate(self, db: str, app_label: str, **hints: Any) -> bool | None:
        return db in settings.DATABASES and db == "default"

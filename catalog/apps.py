from typing import Any

from django.apps import AppConfig
from django.db.models.signals import post_migrate


class CatalogConfig(AppConfig):
    name = "catalog"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        post_migrate.connect(_make_roles, sender=self, dispatch_uid="roles")


def _make_roles(**signal: Any) -> None:
    from catalog.services.accounts import roles_ensure

    roles_ensure()

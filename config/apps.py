from typing import Any

from django.apps import AppConfig, apps
from django.conf import settings
from django.contrib.admin.apps import SimpleAdminConfig
from django.core.exceptions import ImproperlyConfigured
from django.db.models.signals import post_migrate

from catalog.rates import BadRate, parse_rate
from config.proxies import networks


class HouseConfig(AppConfig):
    name = "config"

    def ready(self) -> None:
        """Settings that are read with a request are looked at now, before anybody asks."""
        try:
            parse_rate(settings.ANONYMOUS_RATE)
        except BadRate as error:
            raise ImproperlyConfigured(f"ANONYMOUS_RATE: {error}") from None
        networks(tuple(settings.TRUSTED_PROXIES))
        post_migrate.connect(_make_roles, sender=apps.get_app_config("catalog"), dispatch_uid="roles")


def _make_roles(**signal: Any) -> None:
    from config.accounts.services import roles_ensure  # needs the models loaded

    roles_ensure()


class AccountsAdminConfig(SimpleAdminConfig):
    """Django's administration for user accounts alone: nothing of other packages is discovered into it."""

    default_site = "config.accounts.admin_site.AccountsAdminSite"

    def ready(self) -> None:
        super().ready()
        from config.accounts import admin  # noqa: F401  # registers; needs the models loaded

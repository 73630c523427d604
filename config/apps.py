from django.apps import AppConfig
from django.conf import settings
from django.contrib.admin.apps import SimpleAdminConfig
from django.core.exceptions import ImproperlyConfigured

from catalog.services.rates import BadRate, parse_rate
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


class AccountsAdminConfig(SimpleAdminConfig):
    """Django's administration for user accounts alone: nothing of other packages is discovered into it."""

    default_site = "config.admin_site.AccountsAdminSite"

    def ready(self) -> None:
        super().ready()
        from config import accounts_admin  # noqa: F401  # registers; needs the models loaded

from django.apps import AppConfig
from django.contrib.admin.apps import SimpleAdminConfig


class HouseConfig(AppConfig):
    name = "config"


class AccountsAdminConfig(SimpleAdminConfig):
    """Django's administration for user accounts alone: nothing of other packages is discovered into it."""

    default_site = "config.admin_site.AccountsAdminSite"

    def ready(self) -> None:
        super().ready()
        from config import accounts_admin  # noqa: F401  # registers; needs the models loaded

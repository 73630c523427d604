"""The settings of the tests: the installation's, and a watch in every request for queries that repeat with each row."""

from config.settings import *  # noqa: F403

INSTALLED_APPS = [*INSTALLED_APPS, "zeal"]  # noqa: F405
MIDDLEWARE = ["zeal.middleware.zeal_middleware", *MIDDLEWARE]  # noqa: F405
ZEAL_RAISE = True
ZEAL_ALLOWLIST = [
    {"model": "sessions.Session", "field": "get()"},  # a new session is looked for, so that no key is given twice
    {"model": "catalog.Maker", "field": "get()"},  # a factory inside a request, where a test plays a load meanwhile
]

"""A real browser on a server with the demo catalogue.

The demo is loaded once for this folder and taken away behind it: the browser sees committed rows, so no test here
may ask for the `db` fixture, and none changes the catalogue.
"""

import shutil
from collections.abc import Callable, Iterator
from io import StringIO
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.apps import apps
from django.conf import settings
from django.core.management import call_command
from django.db import connection
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, sync_playwright
from pytest_django.live_server_helper import LiveServer

DESK, PHONE = (1280, 900), (390, 844)
ROLES = ("sales", "development", "editor")
PASSWORD = "a long enough password"


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    here = Path(__file__).parent
    for item in items:
        if here in item.path.parents:
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="package")
def site(django_db_setup, django_db_blocker) -> Iterator[str]:
    """The address of a server with the demo catalogue and an account a role."""
    with django_db_blocker.unblock():
        _empty()
        call_command("load_catalogue", str(settings.ROOT / "fixtures" / "demo"), stdout=StringIO())
        _accounts()
        server = LiveServer("localhost:0")
        yield server.url
        server.stop()
        connection.close()
        _empty()


@pytest.fixture(scope="package")
def playwright(site: str) -> Iterator[Playwright]:
    with sync_playwright() as started:
        yield started


@pytest.fixture(scope="package")
def browser(playwright: Playwright) -> Iterator[Browser]:
    path = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    browser = playwright.chromium.launch(executable_path=path, args=["--no-sandbox"])
    yield browser
    browser.close()


@pytest.fixture
def strangers() -> list[str]:
    """Addresses of other hosts that a page asked for; filled by `new_page`."""
    return []


@pytest.fixture
def faults() -> list[str]:
    """What the browser's console complained of; filled by `new_page`."""
    return []


@pytest.fixture
def new_page(browser: Browser, site: str, strangers: list[str], faults: list[str]) -> Iterator[Callable[..., Page]]:
    """A page in a fresh context: size, colour scheme, with or without JavaScript."""
    contexts: list[BrowserContext] = []

    def make(size: tuple[int, int] = DESK, scheme: str = "light", script: bool = True) -> Page:
        context = browser.new_context(
            base_url=site,
            viewport={"width": size[0], "height": size[1]},
            color_scheme=scheme,
            java_script_enabled=script,
        )
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(15_000)
        page.on("request", lambda request: _note_stranger(request.url, site, strangers))
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.on("console", lambda message: faults.append(message.text) if message.type == "error" else None)
        return page

    yield make
    for context in contexts:
        context.close()


@pytest.fixture
def page(new_page: Callable[..., Page]) -> Page:
    return new_page()


@pytest.fixture
def violations() -> Callable[[Page], list[str]]:
    """What axe finds wrong with a page, WCAG 2.2 AA and contrast 7:1 included, as short texts."""
    axe = Axe()
    options = {
        "runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
        "rules": {"color-contrast-enhanced": {"enabled": True}},
    }

    def check(page: Page) -> list[str]:
        found = axe.run(page, options=options).response["violations"]
        return [
            f"{each['id']}: {node['target']} {node.get('failureSummary', '')}"
            for each in found
            for node in each["nodes"]
        ]

    return check


def _note_stranger(url: str, site: str, strangers: list[str]) -> None:
    if not url.startswith((site, "data:", "blob:")):
        strangers.append(url)


def _accounts() -> None:
    from catalog.roles import Role
    from catalog.services.accounts import account_create

    for role in ROLES:
        account_create(name=role, role=Role(role), password=PASSWORD)


def _empty() -> None:
    """Every row of the catalogue, and the accounts made here; not the groups, which migrations made."""
    from django.contrib.auth import get_user_model

    tables = [model._meta.db_table for app in ("catalog", "fitment") for model in apps.get_app_config(app).get_models()]
    with connection.cursor() as cursor:
        cursor.execute("TRUNCATE {} CASCADE".format(", ".join(f'"{table}"' for table in tables)))
    get_user_model().objects.filter(username__in=ROLES).delete()

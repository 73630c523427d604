"""A real browser on a server with the demo catalogue.

The demo is loaded once for this folder into a database of its own: the browser sees committed rows, so no test here
may ask for the `db` fixture, and none changes the catalogue.
"""

import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from io import StringIO
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
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
    """The address of a server with the demo catalogue and an account a role, on a database of its own."""
    with django_db_blocker.unblock(), own_database("test_browser"):
        call_command("migrate", verbosity=0)
        call_command("load_catalogue", str(settings.ROOT / "fixtures" / "demo"), stdout=StringIO())
        _accounts()
        server = LiveServer("localhost:0")
        yield server.url
        server.stop()


@contextmanager
def own_database(name: str) -> Iterator[None]:
    """A new database that all connections of this process use meanwhile; it is dropped at the end.

    The one of the other tests will not do: theirs are rolled back, and it is not made at all when none is asked for,
    so that what is connected is the installation's own.
    """
    name = f"{name}_{os.environ.get('PYTEST_XDIST_WORKER', 'alone')}"
    before = connection.settings_dict["NAME"]
    connection.close()
    with connection._nodb_cursor() as cursor:
        cursor.execute(f'DROP DATABASE IF EXISTS "{name}"')
        cursor.execute(f'CREATE DATABASE "{name}"')
    connection.settings_dict["NAME"] = settings.DATABASES[connection.alias]["NAME"] = name
    try:
        yield
    finally:
        connection.close()
        connection.settings_dict["NAME"] = settings.DATABASES[connection.alias]["NAME"] = before
        with connection._nodb_cursor() as cursor:
            cursor.execute(f'DROP DATABASE "{name}" WITH (FORCE)')


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


def sign_in(page: Page, name: str, to: str = "/") -> Page:
    """The page at `to`, signed in and loaded, its script's keys and all."""
    page.goto(f"/account/sign-in/?next={to}")
    page.get_by_label("Username").fill(name)
    page.get_by_label("Password").fill(PASSWORD)
    with page.expect_navigation():  # the form's own address ends in `to`: waiting for an address would not wait
        page.locator("main").get_by_role("button", name="Sign in").click()
    return page


def _note_stranger(url: str, site: str, strangers: list[str]) -> None:
    if not url.startswith((site, "data:", "blob:")):
        strangers.append(url)


def _accounts() -> None:
    from catalog.codes import Role
    from config.accounts.services import account_create

    for role in ROLES:
        account_create(name=role, role=Role(role), password=PASSWORD)

"""The developers' pages in a real browser; what is stored is stored in a database that no other test sees."""

from io import StringIO

import pytest
from django.conf import settings
from django.core.management import call_command
from playwright.sync_api import Page
from pytest_django.live_server_helper import LiveServer

from catalog.codes import CoverageState
from catalog.models import Axle, Revision, Variant
from fitment.readers.editions import forget
from fitment.services.coverage.cells import coverage
from tests.browser.conftest import DESK, PHONE, _accounts, own_database, sign_in

PAGES = {
    "matrix": "/coverage/", "a cell open": "/coverage/?open=TARNHOLT/QN6/rear/guide_link.inner",
    "not known": "/coverage/?chassis=QN9", "cell": "/coverage/EKF7/lower_arm.front/?component=E-7110",
    "not measured": "/coverage/TNR6/guide_link.inner/?component=T-6231", "sizes": "/coverage/sizes/?bodies_at_most=1",
    "corner": "/axle/TNF4/", "not modelled": "/axle/EKR3/", "test fit": "/test-fit/new/",
    "measurement": "/test-fit/new/?kind=measurement",
}  # fmt: skip


@pytest.fixture
def signed_in(new_page):
    return lambda **wishes: sign_in(new_page(**wishes), "development")


@pytest.fixture
def writing_page(browser, django_db_blocker, monkeypatch):
    """A page on a server whose database is this test's alone."""
    monkeypatch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "1")  # the browser's driver keeps an event loop in this thread
    with django_db_blocker.unblock(), own_database("test_browser_writing"):
        call_command("migrate", verbosity=0)
        call_command("load_catalogue", str(settings.ROOT / "fixtures" / "demo"), stdout=StringIO())
        _accounts()
        forget()
        server = LiveServer("localhost:0")
        context = browser.new_context(base_url=server.url)
        page = context.new_page()
        page.set_default_timeout(20_000)
        yield sign_in(page, "development")
        context.close()
        server.stop()
    forget()


@pytest.mark.parametrize("name", PAGES)
def test_light_dark_and_on_a_phone(name, signed_in, violations, strangers):
    page = signed_in(size=DESK)
    page.goto(PAGES[name])
    assert violations(page) == []
    page.emulate_media(color_scheme="dark")
    assert violations(page) == []
    page.emulate_media(color_scheme="light")
    page.set_viewport_size({"width": PHONE[0], "height": PHONE[1]})
    assert violations(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE[0]
    assert strangers == []


def test_from_the_platform_with_most_uncovered_cars_to_a_recorded_test_fit(writing_page):
    """Find it, open its worst cell, propose the nearest revision, record the test fit, see the cell change."""
    new_design = [row for row in coverage().platforms if row.state is CoverageState.NEW_DESIGN]
    worst = max(new_design, key=lambda row: row.uncovered)
    page = writing_page
    page.goto("/coverage/?uncovered=yes&state=new_design")
    page.click(f"a[href*='{worst.chassis}%2F{worst.end}%2F{worst.location}']")
    page.wait_for_selector("#opened")
    with page.expect_navigation():
        page.click("#opened tr:has-text('New design') a.row-link")
    cell = page.url
    assert "New design" in page.inner_text(".lead-state")

    page.click("text=Decide on >> nth=0")
    page.wait_for_load_state()
    part, revision = page.input_value("#f-part"), page.input_value("#f-revision")
    assert part
    page.select_option("#f-decision", "proposed")
    with page.expect_navigation():
        page.click("#decide ~ form button")
    assert "If this is stored" in page.inner_text("main")
    with page.expect_navigation():
        page.click("text=Store exactly this")
    assert "Prototype or proposal" in page.inner_text(".lead-state")

    assert record_pass(page, f"{part} {revision}") in page.inner_text("#evidence ~ div")
    assert page.url.partition("&")[0].partition("?")[0] == cell.partition("?")[0]
    # What passed is released: the proposal stands on, and the cars it passed for say so.
    assert f"Passed on such a car: {part}" in page.inner_text("#waiting ~ table").replace("\xa0", " ")


def test_a_prototype_that_passes_on_a_car_moves_its_cell(writing_page):
    """From the cell to the record and back: the preview says what becomes of the cell, and that is what comes."""
    prototypes = set(Revision.objects.filter(status="prototype").values_list("part__code", "letter"))
    cell = next(cell for cell in coverage().cells if cell.state is CoverageState.PROTOTYPE and cell.by[0] in prototypes)
    page = writing_page
    page.goto(f"/coverage/{cell.key.axle}/{cell.key.location}/?component={cell.key.component}")
    assert "Prototype or proposal" in page.inner_text(".lead-state")
    record_pass(page, " ".join(cell.by[0]), becomes="Test fit passed")
    assert "Test fit passed" in page.inner_text(".lead-state")


def record_pass(page: Page, fitted: str, becomes: str = "stays as it is") -> str:
    """From a cell: a test fit of the revision it names, passed on the first car that has the axle; its variant."""
    with page.expect_navigation():
        page.click("text=Record a test fit here")
    assert page.input_value("#f-fitted") == fitted
    axle = Axle.objects.get(code=page.input_value("#f-axle"))
    variant = Variant.objects.filter(**{f"{axle.end}_axle": axle}).order_by("code").first()
    page.select_option("#f-variant", variant.code)
    page.check("[name=outcome][value=passed]")
    page.click("text=See what changes")
    page.wait_for_selector("text=Record exactly this")
    assert becomes in page.inner_text(".preview")
    page.click("text=Record exactly this")
    page.wait_for_selector("text=Stored as")
    with page.expect_navigation():
        page.click("text=See the cell")
    return variant.code

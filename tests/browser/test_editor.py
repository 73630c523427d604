"""The editor in a browser: a workbook handed in, checked and loaded by a worker, and what it changed."""

import io
import zipfile
from collections.abc import Callable, Iterator
from threading import Thread

import pytest
from django.conf import settings
from django.db import connection
from playwright.sync_api import expect
from procrastinate.contrib.django import app

from catalog.workbook.reading import Source
from fitment.services.loading import catalogue_load
from tests.browser.conftest import PHONE, sign_in

DEMO = settings.ROOT / "fixtures" / "demo"
PAGES = {
    "catalogue": "/catalogue/",
    "conflicts": "/catalogue/conflicts/",
    "edition": "/catalogue/edition/1/?sheet=joints",
    "compare": "/catalogue/compare/?from=0&to=1&sheet=makers",
    "sheet": "/catalogue/sheet/fit_decisions/?q=LM-210",
    "row": "/catalogue/row/parts/?key=LM-210",
    "mend": "/catalogue/mend/parts/?key=LM-210",
    "new row": "/catalogue/mend/holds/?new=yes&part=LM-210",
}


def apart(work: Callable[[], object]) -> None:
    """Works in a thread of its own: the browser's thread has a loop that runs, in which nothing may wait."""
    failed: list[BaseException] = []

    def run() -> None:
        try:
            work()
        except BaseException as error:
            failed.append(error)
        finally:
            connection.close()

    thread = Thread(target=run)
    thread.start()
    thread.join(120)
    assert not thread.is_alive()
    if failed:
        raise failed[0]


def work_off() -> None:
    """What a worker does with all that is queued."""
    with app.replace_connector(app.connector.get_worker_connector()) as worker:
        worker.run_worker(wait=False, install_signal_handlers=False, listen_notify=False)


def load_demo() -> None:
    report = catalogue_load(source=Source.of_path(DEMO), replace=True, force=True)
    assert not report.refused


def changed_book() -> dict[str, object]:
    """The demo's decisions, one approval turned into a rejection."""
    text = (DEMO / "fit_decisions.csv").read_text()
    before = "LM-318,A,T-2220,,approved"
    assert before in text
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr("fit_decisions.csv", text.replace(before, "LM-318,A,T-2220,,rejected"))
    return {"name": "decisions.zip", "mimeType": "application/zip", "buffer": packed.getvalue()}


@pytest.fixture
def demo_again(site) -> Iterator[None]:
    """Puts the demo back behind a test that changes it."""
    yield
    apart(load_demo)


@pytest.mark.parametrize("script", [True, False])
def test_from_upload_to_what_changed(script, new_page, violations, strangers, faults, demo_again):
    page = new_page(script=script)
    sign_in(page, "editor", "/catalogue/")
    page.locator("input[type=file]").set_input_files(changed_book())
    page.get_by_role("button", name="Check it").click()
    expect(page.get_by_role("progressbar")).to_be_visible()
    if script:
        assert violations(page) == []
    apart(work_off)
    # With a script the bar asks; without one the page comes anew by itself.
    button = page.get_by_role("button", name="Load exactly this")
    expect(button).to_be_visible()
    expect(page.locator("#answers")).to_have_text("Answers that change")
    expect(page.locator(".change-table").first).to_contain_text("LM-318")
    if script:
        for scheme in ("light", "dark"):
            page.emulate_media(color_scheme=scheme)
            assert violations(page) == []
    button.click()
    apart(work_off)
    page.get_by_role("link", name="What changed in edition").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Edition")
    expect(page.locator(".row-lines")).to_contain_text("T-2220")
    assert strangers == []
    assert faults == []


def test_a_fact_is_mended_with_a_preview(new_page, violations, demo_again):
    page = new_page(size=PHONE)
    sign_in(page, "editor", "/catalogue/sheet/fit_decisions/")
    page.get_by_label("Find", exact=True).fill("LM-318 T-2220")
    page.get_by_role("button", name="Find").last.click()
    page.get_by_role("link", name="Mend").first.click()
    page.locator("#f-decided_on").fill("yesterday")
    page.get_by_role("button", name="See what changes").click()
    expect(page.locator("#f-decided_on-error")).to_be_visible()
    assert violations(page) == []
    page.locator("#f-decided_on").fill("2020-01-01")
    page.locator("#f-remark").fill("looked at again")
    page.get_by_role("button", name="See what changes").click()
    expect(page.locator(".preview")).to_contain_text("looked at again")
    assert violations(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE[0]
    page.get_by_role("button", name="Store exactly this").click()
    expect(page.get_by_role("status").filter(has_text="Stored")).to_be_visible()


@pytest.mark.parametrize("name", PAGES)
def test_light_dark_and_on_a_phone(name, new_page, violations, strangers, faults):
    page = new_page()
    sign_in(page, "editor", "/catalogue/")
    page.goto(PAGES[name])
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        assert violations(page) == []
    page.set_viewport_size({"width": PHONE[0], "height": PHONE[1]})
    assert violations(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE[0]
    assert strangers == []
    assert faults == []

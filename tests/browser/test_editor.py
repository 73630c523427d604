"""The editor in a browser: a workbook handed in, checked and loaded by a worker, and what it changed."""

import io
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path
from threading import Thread

import pytest
from django.conf import settings
from django.db import connection
from playwright.sync_api import expect
from procrastinate.contrib.django import app

from catalog.workbook.reading import Source
from fitment.services.catalogue.loading import catalogue_load
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


def test_all_that_a_fact_changes_is_sought_and_turned_through(new_page, violations, demo_again, monkeypatch):
    """Without a script too: what was typed travels with each step, up to the storing."""
    monkeypatch.setattr("fitment.pages.catalogue.changes.LINES_A_PAGE", 2)
    page = new_page(size=PHONE, script=False)
    sign_in(page, "editor", "/catalogue/")
    page.goto("/catalogue/mend/operations/?key=TNF2&key=wheel_off")
    page.locator("#f-remove_likely").fill("9")
    page.locator("#f-remove_max").fill("12")
    page.get_by_role("button", name="See what changes").click()
    turning = page.get_by_role("navigation", name="Pages of job minutes that change")
    expect(turning).to_contain_text("1 to 2 of 7")
    turning.get_by_role("button", name="Later").click()
    expect(turning).to_contain_text("3 to 4 of 7")
    page.get_by_label("Find", exact=True).fill("LM-232")
    page.get_by_role("search", name="Answers and minutes that change").get_by_role("button", name="Find").click()
    expect(page.get_by_text("1 of 7 jobs.")).to_be_visible()
    with page.expect_download() as download:
        page.get_by_role("button", name="All answers and minutes as CSV").click()
    lines = Path(download.value.path()).read_text(encoding="utf-8-sig").splitlines()
    assert len([line for line in lines if line.startswith("minutes,TNF2")]) == 7
    page.get_by_role("button", name="Store exactly this").click()
    expect(page.get_by_role("status").filter(has_text="Stored")).to_be_visible()
    expect(page.locator(".row-lines")).to_contain_text("remove_max")
    page.get_by_label("Find", exact=True).fill("LM-220")
    page.get_by_role("search", name="Answers and minutes that change").get_by_role("button", name="Find").click()
    expect(page.get_by_text("2 of 7 jobs.")).to_be_visible()


def test_a_large_workbook_is_written_with_progress(new_page, violations, strangers, faults, monkeypatch):
    monkeypatch.setattr("fitment.services.catalogue.downloads.AT_ONCE", 100)
    page = new_page(size=PHONE)
    sign_in(page, "editor", "/catalogue/")
    page.get_by_role("button", name="Write CSV files (.zip)").click()
    expect(page.get_by_role("progressbar")).to_be_visible()
    assert violations(page) == []
    apart(work_off)
    save = page.get_by_role("link", name="Save")
    expect(save).to_be_visible()
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        assert violations(page) == []
    with page.expect_download() as download:
        save.click()
    with zipfile.ZipFile(download.value.path()) as archive:
        assert archive.read("fit_decisions.csv") == (DEMO / "fit_decisions.csv").read_bytes()
    assert strangers == []
    assert faults == []


def test_what_is_wrong_stands_at_the_field_and_on_top(new_page, violations):
    page = new_page(size=PHONE)
    sign_in(page, "editor", "/catalogue/")
    page.get_by_label("The file is the whole catalogue").check()
    page.locator("input[type=file]").set_input_files(
        {"name": "plan.pdf", "mimeType": "application/pdf", "buffer": b"%PDF-1.4"}
    )
    page.get_by_role("button", name="Check it").click()
    expect(page.get_by_role("alert")).to_contain_text("neither a spreadsheet nor a zip")
    expect(page.locator("#f-file-error")).to_contain_text("neither a spreadsheet nor a zip")
    expect(page.get_by_label("The file is the whole catalogue")).to_be_checked()
    assert violations(page) == []
    page.goto("/catalogue/compare/?from=77&to=nothing")
    expect(page.get_by_role("alert").get_by_role("link", name="To edition")).to_be_visible()
    expect(page.locator("#f-to")).to_have_value("nothing")
    assert violations(page) == []


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

"""The fitting instruction on paper: A4 and Letter, the title block and page n of m at the foot of every page."""

from io import BytesIO

import pytest
from pypdf import PdfReader

JOB = "/job/?chassis=QN4&designation=18&built=2014-05&part=LM-210:front.tension_link.inner"
PARTS = "&part=LM-230:front.tension_link.outer&part=LM-318:rear.front_link.inner"
# Points of 1/72 inch: ISO 216 A4 is 210 x 297 mm, Letter 8.5 x 11 in.
SHEETS = {"A4": (595, 842), "Letter": (612, 792)}


@pytest.mark.parametrize("sheet", SHEETS)
@pytest.mark.parametrize("parts", ["", PARTS], ids=["one part", "three parts"])
def test_every_page_has_its_title_block_and_number(sheet, parts, new_page):
    page = new_page()
    page.goto(JOB + parts)
    code = page.locator("[data-ticks]").get_attribute("data-ticks")
    printed = PdfReader(BytesIO(page.pdf(format=sheet)))
    pages = len(printed.pages)
    assert pages > 1
    for number, one in enumerate(printed.pages, start=1):
        assert [round(float(each)) for each in one.mediabox[2:]] == pytest.approx(SHEETS[sheet], abs=1)
        said = " ".join(one.extract_text().split())
        for wanted in ("Jointbook", code, "lindmoor-demo", f"page {number} of {pages}"):
            assert wanted in said, (number, wanted)


def test_cautions_come_before_the_first_step_and_each_torque_has_a_blank_and_a_box(new_page):
    page = new_page()
    page.goto(JOB)
    page.emulate_media(media="print")
    rows = page.locator(".torques tbody tr").count()
    assert rows
    assert page.locator(".torques .blank:visible").count() == page.locator(".torques .tick-box:visible").count() == rows
    assert not page.locator(".top:visible, .job-form:visible").count()
    cautions = page.locator("#cautions-title").bounding_box()
    first_step = page.locator(".step").first.bounding_box()
    assert cautions is not None
    assert first_step is not None
    assert cautions["y"] < first_step["y"]

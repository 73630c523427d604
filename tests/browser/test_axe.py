"""Every page in every state that differs: axe, WCAG 2.2 AA and 7:1, light and dark, desk and phone."""

import pytest

from tests.browser.conftest import DESK, PHONE

CAR = "chassis=QN4&designation=18&built=2014-05"
PAGES = {
    "start": "/",
    "steps": "/?maker=TARNHOLT&chassis=QN4",
    "months": "/?maker=TARNHOLT&chassis=QN4&variant=QN4-18-SAL",
    "lost step": "/?maker=NOBODY",
    "several platforms": "/car/?body=saloon",
    "a question": f"/car/?{CAR}",
    "settled": "/car/?variant=QN4-18-SAL&built=2014-05",
    "a part asked": f"/car/?{CAR}&part=LM-210",
    "unknown parameter": "/car/?chasis=QN4",
    "contradiction": "/car/?chassis=QN4&built=1990",
    "part": "/part/LM-210/",
    "part, all cars": "/part/LM-210/?all=yes",
    "no such part": "/part/NOTHING/",
    "job": f"/job/?{CAR}&part=LM-210:front.tension_link.inner",
    "basket": f"/job/?{CAR}&part=LM-210:front.tension_link.inner&part=LM-318:rear.front_link.inner&units=imperial",
    "job refused": "/job/?chassis=QN4&part=LM-211&built=2014-05&designation=18",
    "job of several platforms": "/job/?body=saloon&part=LM-210",
    "instruction": f"/job/instruction/2222222222/?{CAR}&part=LM-210:front.tension_link.inner&edition=1",
}


SMALL_TARGETS = """
() => [...document.querySelectorAll("a.choice, .button, .stated a, .places a, summary, select, .tick, .months a")]
    .filter((each) => each.checkVisibility())
    .map((each) => [each.className || each.tagName, each.getBoundingClientRect()])
    .filter(([, box]) => box.height < 43.5 || box.width < 43.5)
    .map(([name, box]) => `${name} ${box.width} x ${box.height}`)
"""


@pytest.mark.parametrize("name", PAGES)
def test_light_dark_and_on_a_phone(name, new_page, violations, strangers):
    """No violation; on a phone nothing runs out of the sheet, and what a finger must hit is 44 px high and wide."""
    page = new_page(size=DESK)
    page.goto(PAGES[name])
    assert violations(page) == []
    page.emulate_media(color_scheme="dark")
    assert violations(page) == []
    page.emulate_media(color_scheme="light")
    page.set_viewport_size({"width": PHONE[0], "height": PHONE[1]})
    assert violations(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE[0]
    assert page.evaluate(SMALL_TARGETS) == []
    assert strangers == []


def test_the_box_says_what_it_did_not_understand(new_page, violations):
    page = new_page()
    page.goto("/")
    page.fill("#ask", "qn4 estte purple 3/4/2014")
    with page.expect_navigation():
        page.keyboard.press("Enter")
    assert page.locator("#ask").input_value() == "qn4 estte purple 3/4/2014"
    assert "estte" in page.locator(".note.wrong").inner_text()
    assert violations(page) == []

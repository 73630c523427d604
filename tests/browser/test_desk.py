"""The sales desk in a browser: a caller's question settled in few interactions, by keyboard; axe on every state."""

import re

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.conftest import DESK, PHONE, sign_in

CAR = "chassis=QN4&designation=18&body=saloon&built=2018-05"
SETTLED = f"{CAR}&option.RIDE_COMFORT=yes"
# 1-job: a caller on the line, half a vehicle description, three parts in mind.
MOST_INTERACTIONS = 12
PATIENCE = 20_000  # ms; the machine may be busy
AT_THE_JOINT = "component.front.tension_link.inner"


class Caller:
    """Counts what the person at the desk does: a key struck, a line typed, a click."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.interactions = 0

    def says(self, text: str) -> None:
        """A line typed and sent: two interactions."""
        self.interactions += 2
        expect(self.page.locator("#desk-ask")).to_be_focused(timeout=PATIENCE)
        self.page.keyboard.type(text)
        self.page.keyboard.press("Enter")

    def key(self, key: str) -> None:
        self.interactions += 1
        self.page.wait_for_load_state()  # the script that hears keys is there
        self.page.keyboard.press(key)


def at_desk(page: Page, path: str = "/desk/") -> Page:
    return sign_in(page, "sales", path)


def key_of(page: Page, part: str) -> str:
    key = line_of(page, part).locator("[data-key]").get_attribute("data-key")
    assert key
    return key


def line_of(page: Page, part: str) -> Locator:
    return page.locator(".desk-line").filter(has=page.get_by_role("link", name=re.compile(f"^{part}( |$)")))


def basket(page: Page) -> Locator:
    return page.locator(".desk-basket .basket-items").first.locator("li .what .code")


def test_three_parts_are_settled_in_twelve_interactions(page: Page, strangers, faults):
    """Car, an open question answered, three parts, the answer copied: without the mouse."""
    at_desk(page)
    page.context.grant_permissions(["clipboard-read", "clipboard-write"])
    caller = Caller(page)
    expect(page.locator("#desk-ask")).to_be_focused()
    caller.says("qn4 18 saloon 05/2018")
    expect(page.locator("h1")).to_have_text("QN4 18 saloon, built May 2018")
    expect(page.locator("#question")).to_be_focused()
    caller.key("1")  # it has the comfort suspension
    expect(page.locator("#settled")).to_be_focused()
    for part in ("LM-211", "LM-310", "LM-220"):
        caller.key(key_of(page, part))
        expect(line_of(page, part)).to_have_class(re.compile("taken"))
    expect(basket(page)).to_have_count(3)
    assert page.locator(".desk-basket .verdict:has-text('Fits')").count() == 3
    expect(page.locator(".desk-figures")).to_contain_text("Saved together")
    caller.key("c")
    expect(page.locator("#announce")).to_have_text("The answer is copied.")
    copied = page.evaluate("navigator.clipboard.readText()")
    assert "LM-211 revision B" in copied
    assert "Fitting takes about" in copied
    assert caller.interactions <= MOST_INTERACTIONS
    assert (strangers, faults) == ([], [])


def test_in_one_line(page: Page):
    """Whoever knows the codes says everything at once: two interactions and what is still open."""
    at_desk(page)
    Caller(page).says("qn4 18 saloon 05/2018 lm-211 lm-230 lm-310")
    expect(basket(page)).to_have_count(3)
    expect(page.locator(".desk-figures")).to_be_visible()


def test_by_clicking_without_a_script(new_page):
    page = at_desk(new_page(script=False))
    page.locator("#desk-ask").fill("qn4 18 saloon 05/2018")
    page.get_by_role("button", name="Add").click()
    page.locator(".desk-question").get_by_role("link", name=re.compile("^No")).click()
    for part in ("LM-211", "LM-310"):
        line_of(page, part).locator(".take").click()
    expect(basket(page)).to_have_count(2)
    expect(page.locator("#answer-text")).to_contain_text("LM-310 revision D")
    expect(page.locator("kbd").first).to_be_hidden()
    line_of(page, "LM-211").locator(".take").click()
    expect(basket(page)).to_have_count(1)


def test_back_and_reload_keep_the_state(page: Page):
    at_desk(page, f"/desk/?{CAR.replace('&', '%26')}")
    page.keyboard.press(key_of(page, "LM-211"))
    expect(basket(page)).to_have_count(1)
    page.keyboard.press(key_of(page, "LM-310"))
    expect(basket(page)).to_have_count(2)
    page.reload()
    expect(basket(page)).to_have_count(2)
    page.go_back()
    expect(basket(page)).to_have_count(1)


def test_what_is_nearly_free_is_added_with_its_key(page: Page):
    at_desk(page)
    page.goto(f"/desk/?{SETTLED}&part=LM-211")
    extras = page.locator("section[aria-labelledby=extras] li")
    minutes = [int(text.split("+")[1].split()[0]) for text in extras.locator(".figure").all_inner_texts()]
    assert minutes == sorted(minutes)
    key = extras.first.locator("kbd").inner_text()
    page.keyboard.press(key)
    expect(basket(page)).to_have_count(2)


def test_keys_wait_while_one_types_and_can_be_turned_off(page: Page):
    at_desk(page)
    page.goto(f"/desk/?{CAR}")
    key = key_of(page, "LM-211")
    page.keyboard.press("/")
    expect(page.locator("#desk-ask")).to_be_focused()
    page.keyboard.type(f"{key}1n")
    expect(page.locator("#desk-ask")).to_have_value(f"{key}1n")
    page.locator("#desk-ask").fill("")
    page.keyboard.press("Escape")
    page.keyboard.press(f"Control+{key}")
    expect(basket(page)).to_have_count(0)
    page.keyboard.press("?")
    page.get_by_label("Keys on this device").uncheck()
    page.locator("h1").click()
    page.keyboard.press(key)
    expect(page.locator(".desk-answers kbd").first).to_be_hidden()
    page.reload()
    page.keyboard.press(key)
    page.wait_for_timeout(300)
    expect(basket(page)).to_have_count(0)


def test_a_number_states_the_joint(page: Page):
    at_desk(page)
    caller = Caller(page)
    caller.says("TH 41.10-100")
    expect(page.locator("#said")).to_be_focused()
    caller.key("1")
    expect(page).to_have_url(re.compile(re.escape(AT_THE_JOINT)))
    expect(line_of(page, "LM-210")).to_contain_text("Fits")


def test_a_vin_is_read_and_nowhere_kept(page: Page):
    at_desk(page)
    Caller(page).says("30TN4SXD3JT104268")
    expect(page.locator("h1")).to_contain_text("25 saloon")
    assert "30TN4SXD3JT104268" not in page.url + page.content()
    Caller(page).key("/")
    Caller(page).says("30TN4SXD4JT104268")  # the check digit does not agree
    expect(page.locator("#said")).to_contain_text("check digit")
    assert "30TN4SXD4JT104268" not in page.url + page.content()


def test_nothing_fits_is_logged_with_one_key(page: Page):
    at_desk(page)
    page.goto("/desk/?chassis=H1S&part=LM-210")
    page.keyboard.press("l")
    expect(page.locator(".desk-notice")).to_contain_text("Logged: H1S")
    page.goto("/desk/enquiries/")
    expect(page.locator("table")).to_contain_text("H1S")


@pytest.mark.parametrize(
    "path",
    [
        "/desk/",
        f"/desk/?{CAR}&part=LM-211&part=LM-310&part=LM-210",
        "/desk/?chassis=QN4&said=estat+blue",
        "/desk/?said=TH+41.10-100",
        "/desk/?said=LM-210-C+2210",
        "/desk/?chassis=QN4&body=pickup",
        "/desk/?body=estate",
        "/desk/?variant=EK5-1.4-HAT&built=2016&part=LM-241&part=LM-245",
        f"/desk/answer/?{CAR}&part=LM-211&units=imperial",
        "/desk/hold/LM-210/C/",
        "/desk/enquiries/?by=count",
        "/number/TH%2041.10-100/",
        "/number/LM-210-C%202210/",
        "/number/TH%2041.1O-1OO/",
        "/number/TN%201415-220/",
        "/number/TH%2041.00-011/",
    ],
)
@pytest.mark.parametrize(("size", "scheme"), [(DESK, "light"), (PHONE, "dark")])
def test_axe_and_no_sideways_scrolling(new_page, violations, path, size, scheme):
    page = at_desk(new_page(size=size, scheme=scheme))
    page.goto(path)
    assert violations(page) == []
    wide, seen = page.evaluate("[document.documentElement.scrollWidth, document.documentElement.clientWidth]")
    assert wide <= seen

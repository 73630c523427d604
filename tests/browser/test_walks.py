"""From the first page to a 'fits': by clicking only, by typing only, by keyboard only, with and without JavaScript."""

import re

import pytest
from playwright.sync_api import Page, expect

FITS = ".answer .verdict:has-text('Fits')"


def click_through(page: Page) -> None:
    """Maker, chassis, variant, month: one click each."""
    page.goto("/")
    page.get_by_role("link", name="Tarnholt").click()
    page.get_by_role("link", name=re.compile("^QN4")).click()
    page.get_by_role("link", name=re.compile("^18 saloon")).first.click()
    page.get_by_role("link", name="May 2014", exact=True).click()
    expect(page.get_by_role("heading", level=1)).to_have_text("QN4 18 saloon, built May 2014")


def test_by_clicking_only(page: Page, strangers, faults):
    click_through(page)
    expect(page.locator(FITS).first).to_be_visible()
    assert (strangers, faults) == ([], [])


def test_by_clicking_only_without_a_script(new_page):
    page = new_page(script=False)
    click_through(page)
    expect(page.locator(FITS).first).to_be_visible()


def test_by_typing_only(page: Page, strangers, faults):
    page.goto("/")
    page.keyboard.press("/")
    page.keyboard.type("qn4 18 saloon 05/2014")
    page.keyboard.press("Enter")
    page.wait_for_url("**/car/?*")
    expect(page.get_by_role("heading", level=1)).to_have_text("QN4 18 saloon, built May 2014")
    expect(page.locator(FITS).first).to_be_visible()
    assert (strangers, faults) == ([], [])


def tab_to(page: Page, name: str, limit: int = 60) -> None:
    """Press Tab until the element in focus has a name that begins so."""
    for _ in range(limit):
        page.keyboard.press("Tab")
        focused = page.evaluate(
            "(document.activeElement.getAttribute('aria-label') || document.activeElement.innerText || '').trim()"
        )
        if focused.startswith(name):
            return
    pytest.fail(f"no {name!r} within {limit} steps of Tab")


def test_by_keyboard_only(page: Page):
    page.goto("/")
    tab_to(page, "Tarnholt")
    page.keyboard.press("Enter")
    page.wait_for_url("**maker=TARNHOLT**")
    tab_to(page, "QN4")
    page.keyboard.press("Enter")
    page.wait_for_url("**chassis=QN4**")
    tab_to(page, "18 saloon")
    page.keyboard.press("Enter")
    page.wait_for_url("**variant=**")
    tab_to(page, "May 2014", limit=120)
    page.keyboard.press("Enter")
    page.wait_for_url("**/car/?*")
    expect(page.locator(FITS).first).to_be_visible()


def test_the_next_question_is_answered_in_place_and_announced(page: Page, faults):
    page.goto("/car/?chassis=QN4&designation=18&built=2014-05")
    question = page.locator("#question")
    first = question.inner_text()
    answers_before = page.locator(".answer").count()
    page.locator(".question .choice").first.click()
    page.wait_for_url(lambda url: "option." in url or "body=" in url)
    expect(page.locator("#announce")).to_contain_text("fit")
    expect(question.or_(page.locator("h1")).first).not_to_have_text(first)
    assert answers_before
    address = page.url
    page.go_back()
    page.wait_for_url(lambda url: url != address)
    expect(page.locator("#question")).to_have_text(first)
    page.reload()
    expect(page.locator("#question")).to_have_text(first)
    assert faults == []


def test_dont_know_moves_on(page: Page):
    page.goto("/car/?chassis=QN4")
    first = page.locator("#question").inner_text()
    page.get_by_role("link", name="Don't know").click()
    page.wait_for_url("**skip=**")
    expect(page.locator("#question")).not_to_have_text(first)
    expect(page.locator(".stated")).to_contain_text("not known")


def test_a_joint_of_the_drawing_leads_to_its_answers(page: Page):
    page.goto("/car/?chassis=QN4&designation=18&body=saloon&built=2014-05")
    joint = page.locator("a.joint").first
    key = joint.get_attribute("data-joint")
    joint.hover()
    expect(page.locator(f".places [data-joint='{key}']")).to_have_class(re.compile("lit"))
    joint.click()
    assert page.url.endswith(f"#{key}")
    expect(page.locator(f"[id='{key}']")).to_be_in_viewport()


def test_ticked_steps_survive_a_reload(new_page):
    page = new_page(size=(390, 844))
    page.goto("/job/?chassis=QN4&designation=18&built=2014-05&part=LM-210:front.tension_link.inner")
    page.locator("[data-tick='2']").check()
    page.locator("[data-tick='3']").check()
    page.locator("[data-tick='3']").uncheck()
    page.reload()
    expect(page.locator("[data-tick='2']")).to_be_checked()
    expect(page.locator("[data-tick='3']")).not_to_be_checked()

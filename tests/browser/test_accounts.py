"""The pages of an account in a browser: signed in by keyboard, a token made and revoked, nothing that axe finds."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import PASSWORD, PHONE

PAGES = {"sign in": "/account/sign-in/", "account": "/account/tokens/", "password": "/account/password/"}


def sign_in(page, name="editor"):
    page.goto("/account/sign-in/?next=/account/tokens/")
    expect(page.locator("#id_username")).to_be_focused()
    page.keyboard.type(name)
    page.keyboard.press("Tab")
    page.keyboard.type(PASSWORD)
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text("Your account")


@pytest.mark.parametrize("script", [True, False])
def test_a_token_is_made_shown_once_and_revoked(new_page, violations, script):
    page = new_page(script=script)
    sign_in(page)
    name = f"stock program {script}"
    page.get_by_label("What will use it").fill(name)
    page.get_by_role("button", name="Make it").click()
    shown = page.locator(".token").inner_text()
    assert re.fullmatch(r"Authorization: Token jb_[0-9a-f]{64}", shown)
    if script:
        assert violations(page) == []
    page.goto("/account/tokens/")
    assert "jb_" not in page.content()
    page.get_by_role("button", name=f"Revoke {name}").click()
    expect(page.get_by_role("status").filter(has_text="is revoked")).to_be_visible()
    expect(page.get_by_role("button", name=f"Revoke {name}")).to_have_count(0)
    page.get_by_role("button", name="Sign out").click()
    expect(page.get_by_role("link", name="Sign in")).to_be_visible()


@pytest.mark.parametrize("name", PAGES)
def test_light_dark_and_on_a_phone(name, new_page, violations, strangers, faults):
    page = new_page()
    if name != "sign in":
        sign_in(page)
    page.goto(PAGES[name])
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        assert violations(page) == []
    page.set_viewport_size({"width": PHONE[0], "height": PHONE[1]})
    assert violations(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE[0]
    assert strangers == []
    assert faults == []


def test_what_was_wrong_stands_at_the_field_and_on_top(new_page, violations):
    page = new_page()
    page.goto("/account/sign-in/")
    page.get_by_label("Username").fill("editor-of-nothing")
    page.get_by_label("Password").fill("wrong")
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("alert")).to_contain_text("You are not signed in")
    assert page.get_by_label("Username").input_value() == "editor-of-nothing"
    assert violations(page) == []
    sign_in(page, "sales")
    page.goto("/account/password/")
    page.get_by_label("Old password").fill(PASSWORD)
    page.get_by_label("New password", exact=True).fill("short")
    page.get_by_label("New password confirmation").fill("short")
    page.get_by_role("button", name="Change it").click()
    expect(page.get_by_role("alert")).to_contain_text("12 characters")
    assert violations(page) == []


def test_editors_find_the_administration(new_page):
    page = new_page()
    sign_in(page)
    page.get_by_role("link", name="Look after everybody's accounts").click()
    expect(page.get_by_role("heading", name="Who may see and change what")).to_be_visible()

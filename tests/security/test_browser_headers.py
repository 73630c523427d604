"""What every answer tells a browser, and what the cookies are."""

import re

import pytest
from django.test import Client
from django.urls import reverse

from tests.accounts.conftest import PASSWORD

pytestmark = pytest.mark.django_db
PATHS = ["/healthz", "/account/sign-in/", "/nowhere", "/api/v1/nowhere", "/static/fitment/jointbook.css"]


@pytest.mark.parametrize("path", PATHS)
def test_every_answer_forbids_what_no_page_needs(client, path):
    answer = client.get(path)
    answer.close()
    headers = answer.headers
    policy = dict(part.strip().split(" ", 1) for part in headers["Content-Security-Policy"].split(";"))
    assert policy["default-src"] == "'none'"
    assert policy["script-src"] == "'self'"
    assert policy["style-src"] == "'self'"
    assert policy["frame-ancestors"] == policy["base-uri"] == policy["object-src"] == "'none'"
    assert policy["form-action"] == "'self'"
    assert "unsafe" not in headers["Content-Security-Policy"]
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "same-origin"
    assert headers["Cross-Origin-Opener-Policy"] == "same-origin"


def test_no_template_has_an_inline_script_style_or_handler(settings):
    templates = list((settings.ROOT / "templates").rglob("*.html"))
    assert templates
    for path in templates:
        text = path.read_text()
        assert not re.search(r"<script(?![^>]*\bsrc=)", text), path
        assert not re.search(r"<style\b|\sstyle=|\son[a-z]+=|javascript:", text), path


def test_no_template_marks_text_of_others_as_safe(settings):
    """Autoescaping is on; a `safe` filter stands only where Django's own help texts need it."""
    marked = {
        path.name
        for path in (settings.ROOT / "templates").rglob("*.html")
        if re.search(r"\|\s*safe\b|autoescape off", path.read_text())
    }
    assert marked <= {"field.html"}


def test_cookies_are_for_this_host_and_no_script(client, account):
    account("anna")
    client.get("/account/sign-in/")
    client.post("/account/sign-in/", {"username": "anna", "password": PASSWORD})
    for name in ("session", "csrf"):
        cookie = client.cookies[name]
        assert cookie["httponly"]
        assert cookie["samesite"] == "Lax"
        assert cookie["path"] == "/"
        assert not cookie["domain"]
    assert 0 < client.cookies["session"]["max-age"] <= 12 * 3600


def test_an_unknown_host_is_refused(client):
    assert client.get("/account/sign-in/", headers={"Host": "evil.example"}).status_code == 400


def test_a_form_of_another_site_is_refused(account):
    account("anna")
    strict = Client(enforce_csrf_checks=True)
    strict.get("/account/sign-in/")
    answer = strict.post(
        "/account/sign-in/", {"username": "anna", "password": PASSWORD}, headers={"Origin": "https://evil.example"}
    )
    assert answer.status_code == 403


def test_signed_in_pages_of_accounts_answer_no_get_that_changes_anything(client, account):
    client.force_login(account("anna"), backend="django.contrib.auth.backends.ModelBackend")
    for name in ("accounts:revoke", "accounts:sign-out"):
        assert client.get(reverse(name)).status_code == 405

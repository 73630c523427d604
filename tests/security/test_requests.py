"""Hostile requests: injection, forgery, files that are not there to be served, bodies of the wrong kind."""

import json
import re

import pytest
from django.contrib.auth.models import User
from django.db import connection
from django.test import Client

from catalog.codes import Role
from config.accounts.services import token_create
from tests import factories
from tests.accounts.conftest import PASSWORD

pytestmark = pytest.mark.django_db
HOSTILE = [
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "'; DROP TABLE catalog_maker; --",
    "{{ 71*9311 }}{% debug %}",
    "${71*9311}",
    "%0d%0aSet-Cookie:%20x=1",
    "../../../../etc/passwd",
    "\u202etxt.exe",
    "javascript:alert(1)",
]


@pytest.fixture
def catalogue():
    return factories.catalogue()


@pytest.mark.parametrize("text", HOSTILE)
def test_a_page_shows_hostile_text_as_text(client, catalogue, text):
    for path, data in (("/car/", {"chassis": text}), ("/account/sign-in/", {"next": text})):
        answer = client.get(path, data)
        assert answer.status_code < 500
        assert b"<script>alert" not in answer.content
        assert b"<img src=x" not in answer.content
        assert b"661081" not in answer.content  # 71 x 9311, had it been evaluated
        assert "Set-Cookie: x" not in str(answer.headers)
    assert "catalog_maker" in connection.introspection.table_names()


@pytest.mark.parametrize("text", HOSTILE)
def test_the_api_answers_hostile_text_with_a_problem(client, catalogue, text):
    answer = client.get("/api/v1/fitment/", {"chassis": text})
    assert answer.status_code == 400
    assert answer["Content-Type"].startswith("application/problem+json")
    assert json.loads(answer.content)["errors"]


@pytest.mark.parametrize(
    "path",
    ["/.git/config", "/manage.py", "/.data/secret_key", "/static/../manage.py", "/static/%2e%2e/manage.py",
     "/static/", "/static/fitment/", "/config/settings.py", "/requirements.txt", "/backup.sql"],
)  # fmt: skip
def test_no_file_but_the_static_ones_is_served(client, path):
    assert client.get(path).status_code == 404


def test_no_other_site_is_allowed_to_read(client, catalogue):
    for path in ("/api/v1/makers/", "/"):
        answer = client.get(path, headers={"Origin": "https://evil.example"})
        assert "Access-Control-Allow-Origin" not in answer.headers


def test_a_write_by_session_needs_the_token_of_the_page(account):
    factories.catalogue()
    user = account("anna", Role.EDITOR)
    strict = Client(enforce_csrf_checks=True)
    strict.force_login(user, backend="django.contrib.auth.backends.ModelBackend")
    answer = strict.post("/api/v1/vin/", {"vin": "1M8GDM9AXKP042788"}, content_type="application/json")
    assert answer.status_code == 403
    assert answer["Content-Type"].startswith("application/problem+json")


@pytest.mark.parametrize("kind", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x"])
def test_a_write_that_a_foreign_form_could_send_is_refused(client, catalogue, kind):
    answer = client.post("/api/v1/vin/", '{"vin": "1M8GDM9AXKP042788"}', content_type=kind)
    assert answer.status_code == 415


def test_a_token_in_the_address_opens_nothing(client, account, catalogue):
    _, text = token_create(user=account("anna", Role.SALES), name="x", lifetime=None)
    assert client.get("/api/v1/enquiries/", headers={"Authorization": f"Token {text}"}).status_code == 200
    for name in ("token", "access_token", "Authorization"):
        assert client.get("/api/v1/enquiries/", {name: text}).status_code in (400, 401)


def test_answers_say_what_they_are(client, catalogue):
    for path, kind in (
        ("/", "text/html; charset=utf-8"),
        ("/account/sign-in/", "text/html; charset=utf-8"),
        ("/api/v1/makers/", "application/json"),
        ("/api/v1/nowhere/", "application/problem+json"),
        ("/nowhere", "text/html; charset=utf-8"),
    ):
        assert client.get(path)["Content-Type"] == kind


def test_no_page_is_kept_for_somebody_else(client, catalogue):
    for path in ("/", "/car/?chassis=X", "/account/sign-in/", "/nowhere"):
        assert re.search("private|no-store", client.get(path)["Cache-Control"]), path


@pytest.mark.parametrize("method", ["trace", "connect", "propfind"])
def test_methods_that_no_address_has_are_refused(client, catalogue, method):
    for path in ("/account/tokens/revoke/", "/api/v1/makers/"):
        assert client.generic(method.upper(), path).status_code in (302, 405)


def test_a_new_installation_has_no_account():
    assert not User.objects.exists()


def test_sessions(client, account, settings):
    """Random, kept on the server, of no use after sign-out or when the account is closed."""
    user = account("anna")
    client.post("/account/sign-in/", {"username": "anna", "password": PASSWORD})
    key = client.cookies["session"].value
    assert len(key) >= 32  # 32 of 36 signs: 165 bits
    assert settings.SESSION_ENGINE == "django.contrib.sessions.backends.db"
    assert client.get("/account/tokens/").status_code == 200
    user.is_active = False
    user.save()
    assert client.get("/account/tokens/").status_code == 302
    user.is_active = True
    user.save()
    assert '"storage"' in client.post("/account/sign-out/")["Clear-Site-Data"]
    client.cookies["session"] = key
    assert client.get("/account/tokens/").status_code == 302


def test_a_made_up_session_opens_nothing(client):
    client.cookies["session"] = "0" * 32
    assert client.get("/account/tokens/").status_code == 302
    assert client.session.session_key != "0" * 32


def test_password_fields_are_masked_and_leave_managers_alone(client, account):
    client.force_login(account("anna"), backend="django.contrib.auth.backends.ModelBackend")
    page = client.get("/account/password/").content.decode()
    assert page.count('type="password"') == 3
    assert 'autocomplete="current-password"' in page
    assert 'autocomplete="new-password"' in page
    assert "onpaste" not in page


def test_passwords_are_stored_by_a_slow_hash():
    from django.conf import global_settings
    from django.contrib.auth.hashers import PBKDF2PasswordHasher

    assert global_settings.PASSWORD_HASHERS[0].endswith("PBKDF2PasswordHasher")
    assert PBKDF2PasswordHasher.iterations >= 600_000  # OWASP, Password Storage Cheat Sheet: PBKDF2-HMAC-SHA256

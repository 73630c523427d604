"""With `TRUSTED_PROXIES` HTTPS ends at a proxy: secure cookies, HSTS, no plain HTTP.

Settings are read at the start, so these are asked of a process of its own.
"""

import json
import os
import subprocess
import sys

import pytest
from django.conf import settings

ASK = """
import json, os, django
os.environ["DJANGO_SETTINGS_MODULE"] = "config.settings"
django.setup()
from django.conf import settings
from django.test import Client
def ask(remote, path="/healthz", **headers):
    answer = Client().get(path, REMOTE_ADDR=remote, headers=headers)
    hsts = answer.get("Strict-Transport-Security", "")
    return {"status": answer.status_code, "location": answer.get("Location", ""), "hsts": hsts}
settings.ALLOWED_HOSTS = ["testserver"]
print(json.dumps({
    "secure": ask("10.0.0.1", "/robots.txt", **{"X-Forwarded-Proto": "https", "X-Forwarded-For": "203.0.113.5"}),
    "plain": ask("10.0.0.1", "/account/sign-in/", **{"X-Forwarded-Proto": "http", "X-Forwarded-For": "203.0.113.5"}),
    "liar": ask("203.0.113.5", "/account/sign-in/", **{"X-Forwarded-Proto": "https"}),
    "health": ask("10.0.0.9"),
    "names": [settings.SESSION_COOKIE_NAME, settings.CSRF_COOKIE_NAME],
    "secure_cookies": [settings.SESSION_COOKIE_SECURE, settings.CSRF_COOKIE_SECURE],
}))
"""


@pytest.fixture(scope="module")
def answers():
    done = subprocess.run(
        [sys.executable, "-c", ASK], cwd=settings.ROOT, capture_output=True, text=True, check=True,
        env=os.environ | {"TRUSTED_PROXIES": "10.0.0.0/24", "LOG_LEVEL": "ERROR"},
    )  # fmt: skip
    return json.loads(done.stdout.splitlines()[-1])


def test_https_is_asked_for_a_year(answers):
    assert answers["secure"]["hsts"] == "max-age=31536000; includeSubDomains"


def test_plain_http_is_sent_to_https(answers):
    assert (answers["plain"]["status"], answers["plain"]["location"]) == (301, "https://testserver/account/sign-in/")


def test_who_is_no_proxy_cannot_claim_https(answers):
    assert answers["liar"]["status"] == 301


def test_health_is_asked_past_the_proxy(answers):
    assert answers["health"]["status"] == 200


def test_cookies_go_over_https_to_this_host_alone(answers):
    assert answers["names"] == ["__Host-session", "__Host-csrf"]
    assert answers["secure_cookies"] == [True, True]

"""A proxy is believed when it is ours; anybody else's claims are dropped."""

import pytest
from django.core.exceptions import ImproperlyConfigured
from django.http import HttpResponse
from django.test import RequestFactory

from config.proxies import TrustedProxies, networks


def seen(remote, **headers):
    """The address and scheme the application sees."""
    request = RequestFactory().get("/", REMOTE_ADDR=remote, headers=headers)
    TrustedProxies(lambda _: HttpResponse())(request)
    return request.META["REMOTE_ADDR"], request.scheme


@pytest.fixture
def behind_proxies(settings):
    settings.TRUSTED_PROXIES = ["10.0.0.0/8", "2001:db8::1"]


CLIENT = "203.0.113.5"


@pytest.mark.parametrize(
    ("remote", "forwarded", "wanted"),
    [
        ("10.1.2.3", CLIENT, CLIENT),
        ("2001:db8::1", CLIENT, CLIENT),
        ("10.1.2.3", f"{CLIENT}, 10.9.9.9", CLIENT),  # two proxies of ours in a row
        ("10.1.2.3", f"198.51.100.1, {CLIENT}", CLIENT),  # the client wrote the first one itself
        ("10.1.2.3", "", "10.1.2.3"),
        ("10.1.2.3", "10.4.4.4", "10.1.2.3"),
        (CLIENT, "198.51.100.1", CLIENT),  # no proxy of ours
    ],
)
def test_the_address_is_the_last_that_is_no_proxy_of_ours(behind_proxies, remote, forwarded, wanted):
    assert seen(remote, **{"X-Forwarded-For": forwarded})[0] == wanted


@pytest.mark.parametrize(
    ("remote", "claimed", "scheme"),
    [
        ("10.1.2.3", "https", "https"),
        ("10.1.2.3", "http", "http"),
        (CLIENT, "https", "http"),
        ("10.1.2.3", "gopher", "http"),
    ],
)
def test_the_scheme_is_believed_from_a_proxy_of_ours(behind_proxies, remote, claimed, scheme):
    assert seen(remote, **{"X-Forwarded-Proto": claimed})[1] == scheme


def test_without_the_setting_nobody_is_believed(settings):
    settings.TRUSTED_PROXIES = []
    assert seen("127.0.0.1", **{"X-Forwarded-For": CLIENT, "X-Forwarded-Proto": "https"}) == ("127.0.0.1", "http")


def test_a_bad_setting_is_named():
    with pytest.raises(ImproperlyConfigured, match=r"TRUSTED_PROXIES: 'nonsense'.*10\.0\.0\.0/8"):
        networks(("10.0.0.0/8", "nonsense"))

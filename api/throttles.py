"""How often one address may ask without an account."""

import os
from functools import cache
from typing import TYPE_CHECKING

from django.conf import settings
from rest_framework.throttling import BaseThrottle

from api.counters import Counters

if TYPE_CHECKING:  # the settings name this module, so the framework's views import it
    from rest_framework.request import Request
    from rest_framework.views import APIView

_SECONDS = {
    "s": 1,
    "sec": 1,
    "second": 1,
    "m": 60,
    "min": 60,
    "minute": 60,
    "h": 3600,
    "hour": 3600,
    "d": 86400,
    "day": 86400,
}


class BadRate(ValueError):
    """A rate that cannot be read; the message says how one is written."""


def parse_rate(text: str) -> tuple[int, int]:
    """The number of requests and the seconds of a rate such as `1200/min`.

    Raises `BadRate`.

    >>> parse_rate("1200/min")
    (1200, 60)
    """
    number, _, unit = text.partition("/")
    seconds = _SECONDS.get(unit.strip().lower())
    if seconds is None or not number.strip().isdecimal() or int(number) < 1:
        raise BadRate(f"'{text}' is no rate; write a number, a slash and sec, min, hour or day, such as 1200/min")
    return int(number), seconds


@cache
def _counters(process: int) -> Counters:
    return Counters(settings.DATA_DIR / "throttle", settings.SECRET_KEY.encode())


def counters() -> Counters:
    """The shared counts; opened anew in a forked process."""
    return _counters(os.getpid())


class AnonymousThrottle(BaseThrottle):
    """At most `ANONYMOUS_RATE` requests an address; whoever signed in is not counted."""

    scope = "anonymous"

    def __init__(self) -> None:
        self._wait: float | None = None

    def rate(self) -> str:
        return str(settings.ANONYMOUS_RATE)

    def allow_request(self, request: "Request", view: "APIView") -> bool:
        if request.user is not None and request.user.is_authenticated:
            return True
        limit, seconds = parse_rate(self.rate())
        address = request.META.get("REMOTE_ADDR", "")  # the client's, also behind a trusted proxy
        count, left = counters().count(f"{self.scope}:{address}", seconds=seconds)
        self._wait = left
        return count <= limit

    def wait(self) -> float | None:
        return self._wait


class EnquiryThrottle(AnonymousThrottle):
    """Enquiries are written, so an address may log fewer of them than it may ask questions."""

    scope = "enquiry"

    def rate(self) -> str:
        return str(settings.ENQUIRY_RATE)

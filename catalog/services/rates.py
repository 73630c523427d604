"""How often one address may ask or write: rates in words, and counts that all web processes of a machine share."""

import os
from functools import cache

from django.conf import settings

from catalog.counters import Counters

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
ENQUIRY = "enquiry"


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


def count_request(*, scope: str, address: str, rate: str) -> tuple[bool, float]:
    """Counts one more request of an address: whether the rate allows it, and the seconds until it counts anew."""
    limit, seconds = parse_rate(rate)
    count, left = _counters(os.getpid()).count(f"{scope}:{address}", seconds=seconds)
    return count <= limit, left


@cache
def _counters(process: int) -> Counters:
    """Opened anew in a forked process."""
    return Counters(settings.DATA_DIR / "throttle", settings.SECRET_KEY.encode())

"""How often one address may ask or write: rates in words, and counts that all web processes of a machine share."""

import fcntl
import mmap
import os
import struct
import time
from functools import cache
from hashlib import blake2b
from pathlib import Path

from django.conf import settings

ROWS = 2
SLOTS = 1 << 15
_SLOT = struct.Struct("<II")  # the window's number, the count in it
SIZE = ROWS * SLOTS * _SLOT.size
_SECONDS = {"sec": 1, "min": 60, "hour": 3600, "day": 86400}
_SECONDS |= {"s": 1, "second": 1, "m": 60, "minute": 60, "h": 3600, "d": 86400}
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


class Counters:
    """Counts by key in fixed windows of time, shared by the processes of one machine.

    A table of fixed size in a file that every web process maps: counting costs microseconds and no query, memory does
    not grow with the number of addresses, and no address is stored: its hash, keyed so that nobody outside can aim at
    another's, picks the slots. Two rows of slots, of which the smaller count holds, make it unlikely that two
    addresses meet. (Count-min sketch: Cormode and Muthukrishnan, J. Algorithms 55, 2005; from memory.)
    """

    def __init__(self, path: Path, key: bytes) -> None:
        path.parent.mkdir(parents=True, exist_ok=True)
        self._file = os.open(path, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600)
        if os.fstat(self._file).st_size != SIZE:
            os.ftruncate(self._file, SIZE)
        self._slots = mmap.mmap(self._file, SIZE)
        self._key = blake2b(key).digest()

    def count(self, name: str, *, seconds: int, now: float | None = None) -> tuple[int, float]:
        """Counts one more for `name`: the count in the current window, and the seconds until that ends."""
        now = time.time() if now is None else now
        window, passed = divmod(now, seconds)
        number = int(window) & 0xFFFFFFFF
        places = self._places(f"{seconds}:{name}")
        fcntl.lockf(self._file, fcntl.LOCK_EX)
        try:
            counts = [self._next(place, number) for place in places]
            for place, count in zip(places, counts, strict=True):
                if count == min(counts):  # raise only the smaller: others' counts stay closer to the truth
                    _SLOT.pack_into(self._slots, place, number, min(count, 0xFFFFFFFF))
        finally:
            fcntl.lockf(self._file, fcntl.LOCK_UN)
        return min(counts), seconds - passed

    def close(self) -> None:
        self._slots.close()
        os.close(self._file)

    def _next(self, place: int, number: int) -> int:
        window, count = _SLOT.unpack_from(self._slots, place)
        return count + 1 if window == number else 1

    def _places(self, name: str) -> list[int]:
        digest = blake2b(name.encode(), key=self._key, digest_size=8).digest()
        first, second = struct.unpack("<II", digest)
        return [(first % SLOTS) * _SLOT.size, (SLOTS + second % SLOTS) * _SLOT.size]


@cache
def _counters(process: int) -> Counters:
    """Opened anew in a forked process."""
    return Counters(settings.DATA_DIR / "throttle", settings.SECRET_KEY.encode())

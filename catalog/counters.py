"""Counts of a minute or an hour, shared by the processes of one machine.

A table of fixed size in a file that every web process maps: counting costs microseconds and no query,
memory does not grow with the number of addresses, and no address is stored (its keyed hash picks the
slots). Two rows of slots, of which the smaller count holds, make it unlikely that two addresses meet.
(Count-min sketch: Cormode and Muthukrishnan, J. Algorithms 55, 2005; from memory.)
"""

import fcntl
import mmap
import os
import struct
import time
from hashlib import blake2b
from pathlib import Path

ROWS = 2
SLOTS = 1 << 15
_SLOT = struct.Struct("<II")  # the window's number, the count in it
SIZE = ROWS * SLOTS * _SLOT.size


class Counters:
    """Counters by key in fixed windows of time.

    Parameters
    ----------
    path
        The shared file; made when it is missing.
    key
        The secret of the hash, so that nobody outside can aim at another address's slots.
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

"""Tags of answers, and the answers kept under them (RFC 9110, 8.8.3 and 13.1.2; RFC 9111).

An answer is settled by the edition, the role, the software and the URL, for some addresses also by the
counters of enquiries and job times. A tag is the digest of these: it can be compared before anything is
computed, and it is the key under which a bounded number of answers is kept in the process. Roles are part of
the key, so no answer ever reaches another role.
"""

from collections import OrderedDict
from functools import cache
from hashlib import sha256
from pathlib import Path
from threading import Lock

from django.http import HttpResponse
from django.utils.http import parse_etags

from catalog.codes import Role
from catalog.selectors import CurrentCatalogue

ROOT = Path(__file__).resolve().parent.parent
PACKAGES = ("catalog", "fitment", "api", "config")
VARY = "Authorization, Cookie"


@cache
def software_version() -> str:
    """A digest of the program itself: a new release never confirms an old one's answer."""
    digest = sha256()
    for package in PACKAGES:
        for path in sorted((ROOT / package).rglob("*.py")):
            digest.update(path.relative_to(ROOT).as_posix().encode() + b"\0" + path.read_bytes())
    return digest.hexdigest()[:16]


def tag_of(current: CurrentCatalogue, *, role: Role, url: str, counted: bool) -> str:
    """The weak tag of an answer; `counted` answers also change with the counters."""
    parts = [current.code, str(current.edition), role.value, software_version(), url]
    if counted:
        parts += [str(current.enquiry_count), str(current.job_time_count)]
    text = "\0".join(parts).encode("utf-8", "surrogatepass")
    return f'W/"{sha256(text).hexdigest()[:32]}"'


def confirms(header: str | None, tag: str) -> bool:
    """Whether `If-None-Match` names the tag, compared weakly (RFC 9110, 8.8.3.2), or any (`*`).

    >>> confirms('"a", W/"b"', 'W/"a"'), confirms("*", 'W/"a"'), confirms(None, 'W/"a"')
    (True, True, False)
    """
    if header is None:
        return False
    given = [text.removeprefix("W/") for text in parse_etags(header)]
    return "*" in given or tag.removeprefix("W/") in given


def mark(response: HttpResponse, *, tag: str, private: bool) -> HttpResponse:
    """The headers of a tagged answer: kept (by shared caches only what everybody may see), confirmed each time."""
    response["ETag"] = tag
    response["Cache-Control"] = "private, no-cache" if private else "public, no-cache"
    response["Vary"] = VARY
    return response


class KeptAnswers:
    """The last answers given, up to a number of bytes in all; the one not asked for longest goes first."""

    def __init__(self, capacity: int) -> None:
        self._capacity = capacity
        self._size = 0
        self._answers: OrderedDict[str, bytes] = OrderedDict()
        self._lock = Lock()

    def get(self, tag: str) -> bytes | None:
        with self._lock:
            body = self._answers.get(tag)
            if body is not None:
                self._answers.move_to_end(tag)
            return body

    def keep(self, tag: str, body: bytes) -> None:
        """Keeps an answer; one larger than an eighth of the room is not worth what it would push out."""
        if len(body) * 8 > self._capacity:
            return
        with self._lock:
            self._size += len(body) - len(self._answers.pop(tag, b""))
            self._answers[tag] = body
            while self._size > self._capacity:
                self._size -= len(self._answers.popitem(last=False)[1])

    def forget(self) -> None:
        with self._lock:
            self._answers.clear()
            self._size = 0


kept_answers = KeptAnswers(capacity=32 * 1024 * 1024)

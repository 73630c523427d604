"""Pages of a list by cursor: a page begins behind a row's key, so no row is missed or seen twice.

(A cursor over a unique order of several columns; the framework's own takes only the first.)
"""

import json
from base64 import urlsafe_b64decode, urlsafe_b64encode
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import Any, TypeVar

from django.db.models import Q, QuerySet
from rest_framework.request import Request

from api.codec import encode
from api.parameters import CURSOR, PAGE_SIZE, Errors, one, whole
from catalog.codes import Role

DEFAULT_SIZE = 100
Key = tuple[str | int, ...]
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Cursor:
    """Where a page stands: behind the row with this key, or with `backwards` before it."""

    key: Key
    backwards: bool = False

    def __str__(self) -> str:
        raw = json.dumps([int(self.backwards), *self.key], ensure_ascii=False, separators=(",", ":"))
        return urlsafe_b64encode(raw.encode()).decode().rstrip("=")


def read_cursor(text: str, kinds: Sequence[type], errors: Errors) -> Cursor | None:
    """The cursor a text stands for; `kinds` are the types of the order's columns. None with an error added."""
    try:
        direction, *key = json.loads(urlsafe_b64decode(text + "=" * (-len(text) % 4)))
        if direction not in (0, 1) or [type(part) for part in key] != list(kinds):
            raise ValueError
        if any(isinstance(part, str) and "\0" in part for part in key):
            raise ValueError
        if any(isinstance(part, int) and abs(part) > 2**31 for part in key):
            raise ValueError
        cursor = Cursor(tuple(key), bool(direction))
        if str(cursor) != text:
            raise ValueError
    except (ValueError, TypeError, RecursionError):
        errors.add("cursor", "is none that this list gave; take it from `next` or `previous`, or leave it out")
        return None
    return cursor


@dataclass(frozen=True, slots=True)
class PageRequest:
    """Which page of a list is asked for."""

    size: int
    cursor: Cursor | None

    @property
    def backwards(self) -> bool:
        return self.cursor is not None and self.cursor.backwards


def read_page(values: Mapping[str, Sequence[str]], kinds: Sequence[type], errors: Errors) -> PageRequest:
    """The page that checked parameters ask for; stops at the errors found, its cursor's among them."""
    text = one(values, CURSOR.name)
    cursor = None if text is None else read_cursor(text, kinds, errors)
    errors.stop()
    return PageRequest(whole(values, PAGE_SIZE.name, DEFAULT_SIZE), cursor)


@dataclass(frozen=True, slots=True)
class Page:
    """The rows of one page and the cursors of those beside it."""

    rows: list[Any]
    next: Cursor | None
    previous: Cursor | None


def page_of_query(rows: QuerySet[Any], order: Sequence[str], asked: PageRequest) -> Page:
    """A page of a query over a unique order of columns that are never null."""
    if asked.cursor is not None:
        rows = rows.filter(_beyond(order, asked.cursor))
    ordered = rows.order_by(*(f"-{column}" if asked.backwards else column for column in order))
    return _page(list(ordered[: asked.size + 1]), lambda row: _key_of(row, order), asked)


def page_of_rows(rows: Iterable[T], key: Callable[[T], Key], asked: PageRequest) -> Page:
    """A page of computed rows, which come in the order of their keys (backwards for a page before a row).

    Only as many are taken as the page needs, and one more.
    """
    beyond = rows
    if asked.cursor is not None:
        edge = asked.cursor.key
        beyond = (row for row in rows if (key(row) < edge if asked.backwards else key(row) > edge))
    return _page(list(islice(beyond, asked.size + 1)), key, asked)


def _page(found: list[Any], key: Callable[[Any], Key], asked: PageRequest) -> Page:
    cursor, backwards = asked.cursor, asked.backwards
    more, rows = len(found) > asked.size, found[: asked.size]
    if backwards:
        rows.reverse()
    if not rows:
        # Beyond the end there is only the way back; before the beginning only the way forth.
        back = Cursor(cursor.key, backwards=True) if cursor and not backwards else None
        forth = Cursor(cursor.key) if cursor and backwards else None
        return Page([], forth, back)
    has_next, has_previous = (True, more) if backwards else (more, cursor is not None)
    return Page(
        rows,
        Cursor(key(rows[-1])) if has_next else None,
        Cursor(key(rows[0]), backwards=True) if has_previous else None,
    )


def _beyond(order: Sequence[str], cursor: Cursor) -> Q:
    """The rows behind (or before) the key, as one condition: a > x, or a = x and b > y, ..."""
    comparison = "lt" if cursor.backwards else "gt"
    condition = Q()
    for place, column in enumerate(order):
        equal = dict(zip(order[:place], cursor.key[:place], strict=True))
        condition |= Q(**equal, **{f"{column}__{comparison}": cursor.key[place]})
    return condition


def _key_of(row: Any, order: Sequence[str]) -> Key:
    found = []
    for column in order:
        value = row
        for name in column.split("__"):
            value = getattr(value, name)
        found.append(value)
    return tuple(found)


def links(page: Page, request: Request) -> dict[str, str | None]:
    """The addresses of the pages beside one, whole, with the same query."""

    def address(cursor: Cursor | None) -> str | None:
        if cursor is None:
            return None
        query = request.GET.copy()
        query["cursor"] = str(cursor)
        return request.build_absolute_uri(f"{request.path}?{query.urlencode()}")

    return {"next": address(page.next), "previous": address(page.previous)}


def page_answer(page: Page, request: Request, role: Role) -> dict[str, Any]:
    """A page of answers as it leaves."""
    return {"results": [encode(row, role) for row in page.rows], **links(page, request)}

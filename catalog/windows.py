"""Closed windows of days, as the trade writes them: `2016`, `2016-02`, `2016-02-29`, `2016-03..2018-07`.

A date of less than a day's precision means its first day where a window begins and its last day where one ends
(ISO 8601-1 reduced precision). An end that is not given is open.
"""

import re
from calendar import monthrange
from dataclasses import dataclass
from datetime import date, timedelta

FIRST_YEAR, LAST_YEAR = 1900, 2199
FORM = "YYYY-MM-DD, YYYY-MM or YYYY"
_DATE = re.compile(r"(\d{4})(?:-(\d{2})(?:-(\d{2}))?)?", re.ASCII)
ONE_DAY = timedelta(days=1)


class BadDate(ValueError):
    """A text that is no date of the form asked, or a window that ends before it begins."""


@dataclass(frozen=True, slots=True)
class Window:
    """The days from `first` to `last`, both included; None is an open end."""

    first: date | None = None
    last: date | None = None

    def __contains__(self, day: date) -> bool:
        return (self.first is None or self.first <= day) and (self.last is None or day <= self.last)

    @property
    def is_empty(self) -> bool:
        return self.first is not None and self.last is not None and self.first > self.last

    def __and__(self, other: "Window") -> "Window":
        return Window(_latest(self.first, other.first), _earliest(self.last, other.last))

    def overlaps(self, other: "Window") -> bool:
        return not (self & other).is_empty

    def __str__(self) -> str:
        return write_range(self)


ALWAYS = Window()


def _latest(a: date | None, b: date | None) -> date | None:
    return b if a is None else a if b is None else max(a, b)


def _earliest(a: date | None, b: date | None) -> date | None:
    return b if a is None else a if b is None else min(a, b)


def _parts(text: str) -> tuple[int, int | None, int | None]:
    found = _DATE.fullmatch(text.strip())
    if not found:
        raise BadDate(f"'{text}' is not a date; write {FORM}")
    year, month, day = (int(part) if part else None for part in found.groups())
    if year is None or not FIRST_YEAR <= year <= LAST_YEAR:
        raise BadDate(f"'{text}': the year must be from {FIRST_YEAR} to {LAST_YEAR}")
    if month is not None and not 1 <= month <= 12:
        raise BadDate(f"'{text}': there is no month {month:02d}")
    if month is not None and day is not None and not 1 <= day <= monthrange(year, month)[1]:
        raise BadDate(f"'{text}': that month has {monthrange(year, month)[1]} days")
    return year, month, day


def parse_day(text: str) -> date:
    """A full day, `YYYY-MM-DD`.

    Raises BadDate for anything else.
    """
    year, month, day = _parts(text)
    if month is None or day is None:
        raise BadDate(f"'{text}' is not a full day; write YYYY-MM-DD")
    return date(year, month, day)


def parse_from(text: str) -> date:
    """The first day of a date of any precision.

    >>> parse_from("2016-02")
    datetime.date(2016, 2, 1)
    """
    year, month, day = _parts(text)
    return date(year, month or 1, day or 1)


def parse_to(text: str) -> date:
    """The last day of a date of any precision.

    >>> parse_to("2016-02")
    datetime.date(2016, 2, 29)
    """
    year, month, day = _parts(text)
    month = month or 12
    return date(year, month, day or monthrange(year, month)[1])


def write_from(day: date) -> str:
    """The shortest text that `parse_from` reads back.

    >>> write_from(date(2016, 1, 1)), write_from(date(2016, 3, 1))
    ('2016', '2016-03')
    """
    if day.day != 1:
        return day.isoformat()
    return f"{day.year:04d}" if day.month == 1 else f"{day.year:04d}-{day.month:02d}"


def write_to(day: date) -> str:
    """The shortest text that `parse_to` reads back.

    >>> write_to(date(2016, 2, 29)), write_to(date(2016, 2, 28))
    ('2016-02', '2016-02-28')
    """
    if day.day != monthrange(day.year, day.month)[1]:
        return day.isoformat()
    return f"{day.year:04d}" if day.month == 12 else f"{day.year:04d}-{day.month:02d}"


def parse_range(text: str) -> Window:
    """A window from one date (`2018-05`: the whole month) or two with `..` between them, either one left out.

    Raises BadDate; `..` alone is refused, since it says nothing.

    >>> print(parse_range("2016-03..2018"))
    2016-03..2018
    """
    if ".." not in text:
        return Window(parse_from(text), parse_to(text))
    left, right = (part.strip() for part in text.split("..", 1))
    if not left and not right:
        raise BadDate(f"'{text.strip()}' has two open ends; give at least one date")
    window = Window(parse_from(left) if left else None, parse_to(right) if right else None)
    if window.is_empty:
        raise BadDate(f"'{text.strip()}' ends before it begins")
    return window


def write_range(window: Window) -> str:
    """The shortest text that `parse_range` reads back; `..` for a window open at both ends."""
    first, last = window.first, window.last
    if first is not None and last is not None:
        for short in (f"{first.year:04d}", f"{first.year:04d}-{first.month:02d}", first.isoformat()):
            if parse_from(short) == first and parse_to(short) == last:
                return short
    return f"{write_from(first) if first else ''}..{write_to(last) if last else ''}"

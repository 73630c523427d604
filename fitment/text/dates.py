"""Days, windows and batches in words. Pure."""

from calendar import monthrange
from datetime import date

from catalog.windows import Window

MONTHS = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
]


def day_words(day: date) -> str:
    """A day in words.

    >>> day_words(date(2018, 5, 3))
    '3 May 2018'
    """
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def month_words(day: date) -> str:
    """The month of a day.

    >>> month_words(date(2018, 5, 3))
    'May 2018'
    """
    return f"{MONTHS[day.month - 1]} {day.year}"


def from_words(day: date) -> str:
    """The first day of a window, in as few words as say it exactly."""
    return month_words(day) if day.day == 1 else day_words(day)


def to_words(day: date) -> str:
    """The last day of a window, in as few words as say it exactly."""
    return month_words(day) if day.day == monthrange(day.year, day.month)[1] else day_words(day)


def window_words(first: date | None, last: date | None) -> str:
    """A window of days in words.

    >>> window_words(date(2016, 3, 1), date(2018, 7, 31)), window_words(date(2016, 3, 1), None)
    ('March 2016 to July 2018', 'since March 2016')
    >>> window_words(date(2018, 5, 1), date(2018, 5, 31)), window_words(date(2018, 1, 1), date(2018, 12, 31))
    ('May 2018', '2018')
    """
    if first is None:
        return "at any time" if last is None else f"until {to_words(last)}"
    if last is None:
        return f"since {from_words(first)}"
    if first == last:
        return day_words(first)
    if (first.day, first.month, last.day, last.month) == (1, 1, 31, 12):
        return str(first.year) if first.year == last.year else f"{first.year} to {last.year}"
    if from_words(first) == to_words(last):
        return from_words(first)
    return f"{from_words(first)} to {to_words(last)}"


def built_words(window: Window) -> str:
    """When a car was built, as the end of a heading.

    >>> from catalog.windows import parse_range
    >>> built_words(parse_range("2018-05")), built_words(parse_range("2016-03..2018"))
    ('built May 2018', 'built March 2016 to December 2018')
    """
    return f"built {window_words(window.first, window.last)}"

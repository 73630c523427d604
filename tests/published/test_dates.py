"""Closed windows of days and leap years: ISO 8601-1 and the Gregorian rule, against values.json (dates)."""

from datetime import date, timedelta

import pytest

from catalog.sheets.kinds import BadCell, DateKind
from catalog.windows import BadDate, Window, parse_from, parse_range, parse_to
from tests.published import VALUES

DATES = VALUES["dates"]


def days(window: Window) -> set[date]:
    assert window.first is not None
    assert window.last is not None
    return {window.first + timedelta(step) for step in range((window.last - window.first).days + 1)}


def test_february_of_common_leap_and_century_years():
    """ISO 8601-1:2019, Gregorian leap rule; computed with Python's calendar, checked by the rule."""
    case = DATES["month_lengths"]
    for year, length in case["expected"].items():
        assert parse_to(f"{year}-02").day == length, case["source"]


def test_a_month_stands_for_all_its_days():
    """ISO 8601-1:2019 reduced precision."""
    case = DATES["month_as_closed_days"]
    for month, (first, last) in case["expected"].items():
        assert (str(parse_from(month)), str(parse_to(month))) == (first, last), case["source"]
        assert parse_range(month) == Window(date.fromisoformat(first), date.fromisoformat(last))


def test_both_ends_of_a_window_count():
    case = DATES["days_in_closed_window"]
    windows = [Window(*map(date.fromisoformat, ends)) for ends in case["inputs"]["windows"]]
    assert [len(days(window)) for window in windows] == case["expected"], case["source"]
    assert all(window.first in window and window.last in window for window in windows)


def test_windows_that_touch_do_not_overlap():
    case = DATES["adjacent_windows"]
    one, other = (parse_range("..".join(case["inputs"][name])) for name in "ab")
    assert not one.overlaps(other), case["source"]
    assert len(days(one) | days(other)) == case["expected"]["union_days"]
    assert (str(one.last), str(other.first)) == (case["expected"]["last_day_of_a"], case["expected"]["first_day_of_b"])


def test_windows_that_overlap():
    case = DATES["overlapping_windows"]
    one, other = (parse_range("..".join(case["inputs"][name])) for name in "ab")
    assert len(days(one & other)) == case["expected"]["overlap_days"], case["source"]


@pytest.mark.parametrize("text", DATES["invalid"]["inputs"]["strings"])
def test_what_is_no_date(text: str):
    """ISO 8601-1:2019 extended format; week dates, which Python 3.11 reads, are none of ours."""
    with pytest.raises(BadDate):
        parse_from(text)
    with pytest.raises(BadCell):
        DateKind(parse_to).read(text)

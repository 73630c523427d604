"""Windows: what is written is the shortest text that reads back."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.windows import (
    ALWAYS,
    BadDate,
    Window,
    parse_day,
    parse_from,
    parse_range,
    parse_to,
    write_from,
    write_range,
    write_to,
)

DAYS = st.dates(date(1900, 1, 1), date(2199, 12, 31))
WINDOWS = st.builds(Window, st.none() | DAYS, st.none() | DAYS).filter(lambda window: not window.is_empty)


@given(DAYS)
def test_an_end_reads_back_from_the_shortest_text(day: date):
    for write, parse in ((write_from, parse_from), (write_to, parse_to)):
        text = write(day)
        assert parse(text) == day
        shorter = [day.isoformat()[:length] for length in (4, 7) if length < len(text)]
        assert all(parse(other) != day for other in shorter)


@given(WINDOWS)
def test_a_window_reads_back(window: Window):
    if window == ALWAYS:
        with pytest.raises(BadDate):
            parse_range(write_range(window))
    else:
        assert parse_range(write_range(window)) == window


@given(WINDOWS, WINDOWS, DAYS)
def test_meeting_and_overlapping_are_of_days(one: Window, other: Window, day: date):
    assert (day in one and day in other) == (day in one & other)
    assert one.overlaps(other) == (not (one & other).is_empty)


@pytest.mark.parametrize("text", ["2018-05-14", "2018-05", "2018", "2016-03..2018-07", "2016..", "..2020-02-28"])
def test_texts_that_are_written_as_they_are_read(text: str):
    assert write_range(parse_range(text)) == text


@pytest.mark.parametrize(
    "text", ["", "..", "2018..2016", "2016-3", "1899", "2200", "2016-1-1", "2016 - 2017", "2016...2017", "٢٠١٦"]
)
def test_texts_that_are_no_window(text: str):
    with pytest.raises(BadDate):
        parse_range(text)


@pytest.mark.parametrize("text", ["2018", "2018-05", "2018-02-29"])
def test_a_day_is_a_full_day(text: str):
    with pytest.raises(BadDate):
        parse_day(text)


def test_an_open_end_goes_on():
    assert date(2199, 12, 31) in Window(date(2016, 1, 1))
    assert date(2015, 12, 31) + timedelta(1) in Window(date(2016, 1, 1))
    assert date(2015, 12, 31) not in Window(date(2016, 1, 1))

"""Build dates as people type them: '05/2018', 'May 2018', '14.5.2018', 'MY18'. Pure."""

import re
from collections.abc import Iterator, Sequence
from datetime import date

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_FIRST_YEAR, _LAST_YEAR = 1950, 2099
_DAY = re.compile(r"(\d{1,2})[./-](\d{1,2})[./-](\d{4})", re.ASCII)
_ISO_DAY = re.compile(r"(\d{4})[./-](\d{1,2})[./-](\d{1,2})", re.ASCII)
_MONTH = re.compile(r"(\d{1,2})[./-](\d{4}|\d{2})", re.ASCII)
_ISO_MONTH = re.compile(r"(\d{4})[./-](\d{1,2})", re.ASCII)
_YEAR = re.compile(r"\d{4}", re.ASCII)
_YEARS = re.compile(r"(\d{4})(?:-|\u2013|\.\.)(\d{4})", re.ASCII)
_RANGE = re.compile(r"([\d-]*)\.\.([\d-]*)", re.ASCII)
_MODEL_YEAR = re.compile(r"my\s*'?(\d{4}|\d{2})|model\s*year\s*(\d{4})", re.ASCII | re.IGNORECASE)
_REGISTERED = re.compile(r"reg(?:istered)?(?:\s+on)?\s+(\S+)", re.IGNORECASE)
_NAMED = re.compile(r"([a-z]+)\.?\s+(\d{4})|(\d{4})\s+([a-z]+)\.?", re.ASCII | re.IGNORECASE)
_IN = re.compile(r"^(?:built|made|build)(?:\s+in)?\s+", re.IGNORECASE)


def dates_in(words: Sequence[str]) -> Iterator[tuple[str, str]]:
    """Every way to read words as a date: the parameter (`built`, `registered`, `model_year`) and its value.

    '3/4/2018' is the third of April or the fourth of March: both are given. Two digits of a year are of this century.

    >>> list(dates_in(["May", "2018"])), list(dates_in(["05/2018"])), list(dates_in(["MY18"]))
    ([('built', '2018-05')], [('built', '2018-05')], [('model_year', '2018')])
    """
    text = _IN.sub("", " ".join(words))
    if match := _MODEL_YEAR.fullmatch(text):
        yield "model_year", str(_century(match[1] or match[2]))
        return
    if match := _REGISTERED.fullmatch(text):
        yield from (("registered", day) for day in _days(match[1]))
        return
    yield from (("built", value) for value in dict.fromkeys((*_days(text), *_months(text), *_spans(text))))


def _days(text: str) -> Iterator[str]:
    if match := _ISO_DAY.fullmatch(text):
        yield from _day(match[1], match[2], match[3])
    elif match := _DAY.fullmatch(text):
        yield from _day(match[3], match[2], match[1])
        yield from _day(match[3], match[1], match[2])


def _day(year: str, month: str, day: str) -> Iterator[str]:
    try:
        yield date(int(year), int(month), int(day)).isoformat()
    except ValueError:
        return


def _months(text: str) -> Iterator[str]:
    year = month = ""
    if match := _ISO_MONTH.fullmatch(text):
        year, month = match[1], match[2]
    elif match := _MONTH.fullmatch(text):
        month, year = match[1], match[2]
    elif match := _NAMED.fullmatch(text):
        year, name = (match[2], match[1]) if match[1] else (match[3], match[4])
        month = _named_month(name)
    if month and 1 <= int(month) <= 12 and _FIRST_YEAR <= _century(year) <= _LAST_YEAR:
        yield f"{_century(year):04d}-{int(month):02d}"


def _named_month(name: str) -> str:
    """The number of a month named by three letters or more of its English name, or nothing."""
    full = (
        "january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november",
        "december",
    )  # fmt: skip
    short = name.lower()
    for number, (three, whole) in enumerate(zip(_MONTHS, full, strict=True), start=1):
        if short.startswith(three) and (whole.startswith(short) or short == "sept"):
            return str(number)
    return ""


def _spans(text: str) -> Iterator[str]:
    if _YEAR.fullmatch(text) and _FIRST_YEAR <= int(text) <= _LAST_YEAR:
        yield text
    elif match := _YEARS.fullmatch(text):
        if _FIRST_YEAR <= int(match[1]) <= int(match[2]) <= _LAST_YEAR:
            yield f"{match[1]}..{match[2]}"
    elif (match := _RANGE.fullmatch(text)) and (match[1] or match[2]):
        yield text


def _century(digits: str) -> int:
    return int(digits) if len(digits) == 4 else 2000 + int(digits)

"""Which cell formats of a spreadsheet show a date, and how much of it."""

import re

from defusedxml import ElementTree

DAY, MONTH, YEAR = "day", "month", "year"
_MONTH_YEAR = 17  # built-in format `mmm-yy` (ECMA-376 part 1, 18.8.30)
_FIRST_CUSTOM = 164
_NOT_DATE = re.compile(r'"[^"]*"|\\.|\[[^\]]*\]|_.|\*.')


def date_styles(styles: bytes | None) -> dict[int, str]:
    """Cell style -> precision, for the styles that show a month or a year without a day."""
    if styles is None:
        return {}
    root = ElementTree.fromstring(styles)
    custom = {
        int(item.get("numFmtId", "0")): item.get("formatCode", "") for item in root.iterfind(".//{*}numFmts/{*}numFmt")
    }
    found = {}
    for at, style in enumerate(root.iterfind(".//{*}cellXfs/{*}xf")):
        number = int(style.get("numFmtId", "0"))
        precision = MONTH if number == _MONTH_YEAR and number not in custom else precision_of(custom.get(number, ""))
        if precision in (MONTH, YEAR):
            found[at] = precision
    return found


def precision_of(code: str) -> str | None:
    """What a format shows of a date: `day`, `month`, `year`, or None when it shows none.

    >>> precision_of('[$-409]mmm\\\\-yy;@'), precision_of("yyyy-mm-dd"), precision_of("yyyy"), precision_of("0.00")
    ('month', 'day', 'year', None)
    """
    signs = set(_NOT_DATE.sub("", code).split(";")[0].lower())
    if "y" not in signs or signs & set("hs"):
        return None
    return DAY if "d" in signs else MONTH if "m" in signs else YEAR

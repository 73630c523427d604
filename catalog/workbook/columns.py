"""Short words to declare columns with, so that a sheet reads like its line in the contract."""

from decimal import Decimal
from typing import Any

from catalog.windows import parse_day, parse_from, parse_to
from catalog.workbook.kinds import (
    MOST_WHOLE,
    ChoiceKind,
    CodeKind,
    ConditionsKind,
    DateKind,
    DecimalKind,
    GroupsKind,
    Kind,
    ListKind,
    NumberKind,
    PatternKind,
    TextKind,
    ValueKind,
    WholeKind,
    WordKind,
    YesNoKind,
)
from catalog.workbook.sheets import Column

UNITS = {
    "mm": "mm", "um": "micrometres", "nm": "N m", "deg": "degrees", "kg": "kg", "km": "km", "mpa": "MPa", "n": "N",
    "min": "minutes", "likely": "minutes", "max": "minutes", "minutes": "minutes",
}  # fmt: skip
ZERO, ONE = Decimal(0), Decimal(1)


def unit_of(name: str) -> str:
    """The unit that a column's name ends in, in words; empty for a bare figure."""
    if name.endswith("_n_mm"):
        return "N/mm"
    if name.endswith(("_per_k", "_share")):
        return ""
    return UNITS.get(name.rsplit("_", 1)[-1], "")


def _column(name: str, kind: Kind, flags: str, **more: Any) -> Column:
    """`flags` as in the contract: `*` key, `(*)` key that may be empty, `!` required."""
    key = "*" in flags
    return Column(name, kind, key=key, required=flags in ("*", "!"), **more)


def code(name: str, flags: str = "", *, longest: int = 80, **more: Any) -> Column:
    return _column(name, CodeKind(longest), flags, **more)


def own_code(name: str, *, field: str = "code", longest: int = 80) -> Column:
    """The sheet's own code, which its model calls `code`."""
    return _column(name, CodeKind(longest), "*", field=field)


def value(name: str, flags: str = "") -> Column:
    return _column(name, ValueKind(), flags)


def word(name: str, flags: str = "") -> Column:
    return _column(name, WordKind(), flags)


def text(name: str, flags: str = "") -> Column:
    return _column(name, TextKind(), flags)


def number(name: str, flags: str = "") -> Column:
    return _column(name, NumberKind(), flags)


def choice(name: str, choices: Any, flags: str = "", *, default: str = "") -> Column:
    return _column(name, ChoiceKind(tuple(choices)), flags, default=default)


def yes_no(name: str, flags: str = "") -> Column:
    return _column(name, YesNoKind(), flags, default="" if flags else "no")


def measure(
    name: str, flags: str = "", *, places: int = 5, signed: bool = False, most: Decimal | None = None, digits: int = 9
) -> Column:
    least = None if signed else ZERO
    return _column(name, DecimalKind(places, digits, least, most, unit_of(name)), flags)


def whole(name: str, flags: str = "", *, least: int = 0, most: int = MOST_WHOLE) -> Column:
    return _column(name, WholeKind(0, 10, Decimal(least), Decimal(most), unit_of(name)), flags)


def grade(name: str, flags: str = "") -> Column:
    return whole(name, flags, least=1, most=5)


def day(name: str, flags: str = "") -> Column:
    return _column(name, DateKind(parse_day), flags)


def window_from(name: str, flags: str = "") -> Column:
    return _column(name, DateKind(parse_from), flags)


def window_to(name: str, flags: str = "") -> Column:
    return _column(name, DateKind(parse_to), flags)


def conditions(name: str, flags: str = "", *, without: tuple[str, ...] = ()) -> Column:
    return _column(name, ConditionsKind(without), flags)


def codes(name: str, flags: str = "", *, ordered: bool = True) -> Column:
    return _column(name, ListKind(CodeKind(), ordered), flags)


def items(name: str, item: Kind, flags: str = "", *, ordered: bool = True, array: bool = False) -> Column:
    return _column(name, ListKind(item, ordered, array), flags)


def groups(name: str, flags: str = "") -> Column:
    return _column(name, GroupsKind(), flags)


def pattern(name: str, pattern: str, right: str, flags: str = "", *, write: str = r"\g<0>") -> Column:
    return _column(name, PatternKind(pattern, right, write), flags)


def taper(name: str) -> Column:
    return pattern(name, r"1\s*:\s*(\d+(?:\.\d+)?)", "write a taper as 1:10", write=r"1:\1")


def iso_class(name: str) -> Column:
    return pattern(
        name, r"(\d+(?:\.\d+)?)\s*([A-Za-z]{1,2})(\d{1,2})", "write a size and its ISO 286 class, as 62 N7",
        write=r"\1 \2\3",
    )  # fmt: skip

"""Short words to declare columns with, so that a sheet reads like its line in the contract.

A column takes its name, what it needs (`KEY`, `OPEN_KEY`, `REQUIRED`, `OPTIONAL`) and its help: one plain sentence,
with the unit, that serves the workbook, the editor's form and the API. Further words of every column: `of` the sheet
whose rows it names by their key, `filter` whether lists are narrowed by it (or by what name), `role` the least role
that sees it. `development(...)` and `sales(...)` give a role to several.
"""

from dataclasses import replace
from decimal import Decimal
from typing import TypedDict, Unpack

from catalog.codes import Code, Role
from catalog.sheets.kinds import (
    MOST_SIGNS_OF_A_CODE,
    MOST_WHOLE,
    ChoiceKind,
    CodeKind,
    ConditionsKind,
    DateKind,
    DecimalKind,
    GroupsKind,
    Kind,
    ListKind,
    PartNumberKind,
    PatternKind,
    TextKind,
    ValueKind,
    WholeKind,
    WordKind,
    YesNoKind,
)
from catalog.sheets.sheet import Column
from catalog.windows import parse_day, parse_from, parse_to

KEY, OPEN_KEY, REQUIRED, OPTIONAL = "key", "key that may be empty", "required", "optional"

UNITS = {
    "mm": "mm",
    "um": "micrometres",
    "nm": "N m",
    "deg": "degrees",
    "kg": "kg",
    "km": "km",
    "mpa": "MPa",
    "n": "N",
    "min": "minutes",
    "likely": "minutes",
    "max": "minutes",
    "minutes": "minutes",
}


class More(TypedDict, total=False):
    """What any column may say beside its name, need and help."""

    of: str
    filter: bool | str
    role: Role


def unit_of(name: str) -> str:
    """The unit that a column's name ends in, in words; empty for a bare figure.

    >>> unit_of("closure_um"), unit_of("radial_stiffness_n_mm"), unit_of("front_mass_share")
    ('micrometres', 'N/mm', '')
    """
    if name.endswith("_n_mm"):
        return "N/mm"
    if name.endswith(("_per_k", "_share")):
        return ""
    return UNITS.get(name.rsplit("_", 1)[-1], "")


def column(
    name: str,
    kind: Kind,
    need: str,
    help: str,
    *,
    filter: bool | str = False,
    of: str = "",
    role: Role = Role.PUBLIC,
    default: str = "",
    field: str = "",
) -> Column:
    """A column of any kind."""
    return Column(
        name,
        kind,
        help,
        key=need in (KEY, OPEN_KEY),
        required=need in (KEY, REQUIRED),
        default=default,
        field=field,
        of=of,
        role=role,
        filter=filter if isinstance(filter, str) else name if filter else "",
    )


def development(*columns: Column) -> tuple[Column, ...]:
    """The columns, for development alone."""
    return tuple(replace(column, role=Role.DEVELOPMENT) for column in columns)


def sales(*columns: Column) -> tuple[Column, ...]:
    """The columns, for all staff."""
    return tuple(replace(column, role=Role.SALES) for column in columns)


def own_code(
    name: str, help: str, *, field: str = "code", longest: int = MOST_SIGNS_OF_A_CODE, filter: bool = True
) -> Column:
    """The sheet's own code, which its model calls `code`."""
    return column(name, CodeKind(longest), KEY, help, field=field, filter=filter)


def code(name: str, need: str, help: str, **more: Unpack[More]) -> Column:
    return column(name, CodeKind(), need, help, **more)


def value(name: str, need: str, help: str, **more: Unpack[More]) -> Column:
    return column(name, ValueKind(), need, help, **more)


def word(name: str, need: str, help: str, **more: Unpack[More]) -> Column:
    return column(name, WordKind(), need, help, **more)


def text(name: str, need: str, help: str) -> Column:
    return column(name, TextKind(), need, help)


def number(name: str, need: str, help: str, **more: Unpack[More]) -> Column:
    return column(name, PartNumberKind(), need, help, **more)


def choice(name: str, codes: type[Code], need: str, help: str, *, default: str = "", **more: Unpack[More]) -> Column:
    return column(name, ChoiceKind(codes), need, help, default=default, **more)


def yes_no(name: str, need: str, help: str, **more: Unpack[More]) -> Column:
    """Yes or no; an optional one that is empty stands for no."""
    return column(name, YesNoKind(), need, help, default="no" if need == OPTIONAL else "", **more)


def measure(
    name: str,
    need: str,
    help: str,
    *,
    places: int = 5,
    digits: int = 9,
    signed: bool = False,
    maximum: int | None = None,
) -> Column:
    """A figure in the unit of its name, not negative unless `signed`."""
    limits = None if signed else Decimal(0), None if maximum is None else Decimal(maximum)
    return column(name, DecimalKind(places, digits, *limits, unit_of(name)), need, help)


def whole(
    name: str, need: str, help: str, *, minimum: int = 0, maximum: int = MOST_WHOLE, **more: Unpack[More]
) -> Column:
    kind = WholeKind(0, 10, Decimal(minimum), Decimal(maximum), unit_of(name))
    return column(name, kind, need, help, **more)


def grade(name: str, need: str, help: str, **more: Unpack[More]) -> Column:
    """A grade of skill, 1 to 5."""
    return whole(name, need, help, minimum=1, maximum=5, **more)


def day(name: str, need: str, help: str, **more: Unpack[More]) -> Column:
    return column(name, DateKind(parse_day), need, help, **more)


def window_from(name: str, need: str, help: str) -> Column:
    return column(name, DateKind(parse_from), need, help)


def window_to(name: str, need: str, help: str) -> Column:
    return column(name, DateKind(parse_to), need, help)


def conditions(name: str, need: str, help: str, *, without: tuple[str, ...] = ()) -> Column:
    return column(name, ConditionsKind(without), need, help)


def codes(name: str, need: str, help: str, *, ordered: bool = True, **more: Unpack[More]) -> Column:
    return column(name, ListKind(CodeKind(), ordered), need, help, **more)


def items(name: str, item: Kind, need: str, help: str, *, array: bool = False, **more: Unpack[More]) -> Column:
    return column(name, ListKind(item, True, array), need, help, **more)


def groups(name: str, need: str, help: str, **more: Unpack[More]) -> Column:
    return column(name, GroupsKind(), need, help, **more)


def pattern(
    name: str, pattern: str, right: str, need: str, help: str, *, spelling: str = r"\g<0>", **more: Unpack[More]
) -> Column:
    """A text of a stated form; `spelling` gives it its one spelling."""
    return column(name, PatternKind(pattern, right, spelling), need, help, **more)


def taper(name: str, help: str) -> Column:
    return pattern(name, r"1\s*:\s*(\d+(?:\.\d+)?)", "write a taper as 1:10", OPTIONAL, help, spelling=r"1:\1")


def iso_class(name: str, help: str) -> Column:
    form = r"(\d+(?:\.\d+)?)\s*([A-Za-z]{1,2})(\d{1,2})"
    right = "write a size and its ISO 286 class, as 62 N7"
    return pattern(name, form, right, OPTIONAL, help, spelling=r"\1 \2\3")

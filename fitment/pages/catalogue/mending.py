"""The rows that can be mended on a page: which, where, and as fields of a form."""

from collections.abc import Mapping
from typing import Any

from catalog.sheets.kinds import (
    ChoiceKind,
    ConditionsKind,
    DateKind,
    DecimalKind,
    GroupsKind,
    Kind,
    ListKind,
    PatternKind,
    TextKind,
    YesNoKind,
)
from catalog.sheets.sheet import Column, Sheet
from catalog.windows import parse_day

_UNITS = ("mm", "um", "deg", "kg", "km", "mpa", "nm")


def fields_of(sheet: Sheet, values: Mapping[str, str], errors: Mapping[str, str]) -> list[dict[str, Any]]:
    """The fields of a form, in the order of the sheet's columns."""
    return [_field(sheet, column, values.get(column.name, ""), errors.get(column.name, "")) for column in sheet.columns]


def _field(sheet: Sheet, column: Column, value: str, error: str) -> dict[str, Any]:
    hint = "; ".join(filter(None, (_needed(column), _form(column.kind), _names(sheet, column))))
    ids = [f"f-{column.name}-hint" if hint else "", f"f-{column.name}-error" if error else ""]
    field: dict[str, Any] = {
        "name": column.name, "label": label_of(column.name), "value": value, "error": error,
        "hint": hint[:1].upper() + hint[1:] + "." if hint else "", "described_by": " ".join(filter(None, ids)),
    }  # fmt: skip
    if isinstance(column.kind, ChoiceKind):
        field |= {"kind": "select", "choices": [(one, one.replace("_", " ")) for one in column.kind.choices]}
        field["empty"] = f"{column.default} (nothing stated)" if column.default else "nothing"
    elif isinstance(column.kind, YesNoKind):
        field |= {"kind": "select", "choices": [("yes", "yes"), ("no", "no")], "empty": "nothing"}
    elif isinstance(column.kind, TextKind):
        field["kind"] = "long"
    return field


def label_of(name: str) -> str:
    """What a column is called: its name in words, without the unit.

    >>> label_of("bore_min_mm")
    'Bore min'
    """
    words = name.split("_")
    if len(words) > 1 and words[-1] in _UNITS:
        words = words[:-1]
    text = " ".join(words)
    return text[:1].upper() + text[1:]


def _needed(column: Column) -> str:
    return "needed" if column.required else "part of the key, may be empty" if column.key else ""


def _form(kind: Kind) -> str:
    """How a value is written."""
    if isinstance(kind, DecimalKind):
        return f"in {kind.unit}" if kind.unit else ""
    if isinstance(kind, DateKind):
        return "YYYY-MM-DD" if kind.parse is parse_day else "YYYY-MM-DD, YYYY-MM or YYYY"
    if isinstance(kind, ConditionsKind):
        return "clauses such as engine = E20 | E30; option.TOW = no"
    if isinstance(kind, GroupsKind):
        return "write a | b; c for a or b, and c"
    if isinstance(kind, ListKind):
        return "between spaces"
    return kind.right.removeprefix("write ") if isinstance(kind, PatternKind) else ""


def _names(sheet: Sheet, column: Column) -> str:
    """The sheet that a column names a row of."""
    for reference in sheet.references:
        if reference.columns[-1] == column.name and reference.sheet != sheet.name:
            return f"stands in {reference.sheet}"
    many = next((many for many in sheet.many if many.column == column.name), None)
    return f"stand in {many.sheet}" if many else ""

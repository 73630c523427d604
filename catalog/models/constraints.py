"""Database constraints, each with a name of its own: those that follow from a sheet's columns, and others."""

from collections.abc import Iterable, Iterator
from itertools import pairwise
from typing import Any

from django.db.models import BaseConstraint, CheckConstraint, F, Q, UniqueConstraint

from catalog.sheets.kinds import MOST_WHOLE, ChoiceKind, DateKind, DecimalKind, GroupsKind, ListKind, YesNoKind
from catalog.sheets.sheet import Column, Sheet


def constraints_of(sheet: Sheet, *more: Any, keyed: bool = True) -> list[BaseConstraint]:
    """What the columns of a sheet say, as constraints of its table, and more of them.

    The key is unique, required texts are filled, choices are known, figures lie in their limits, and what is ordered
    does not decrease (so the limits of the first figure hold for those after it). `keyed`: not where a field is unique
    by itself.
    """
    return flat(
        _key(sheet) if keyed else (), *(_of_column(sheet, column) for column in sheet.columns), *_orders(sheet), *more
    )


def _key(sheet: Sheet) -> list[UniqueConstraint]:
    fields, nullable = [], False
    for column in (sheet.columns[at] for at in sheet.key_at):
        linked = _linked(sheet, column.name)
        computed = next((name for name, (of, _) in sheet.computed.items() if of == column.name), None)
        fields.append(linked or computed or column.stored_in)
        nullable |= not column.required and (linked is not None or isinstance(column.kind, DateKind))
    return [key(*dict.fromkeys(fields), nulls_equal=nullable)]


def _of_column(sheet: Sheet, column: Column) -> Iterator[CheckConstraint]:
    kind, field = column.kind, column.stored_in
    if _linked(sheet, column.name) or isinstance(kind, ListKind | GroupsKind | YesNoKind | DateKind):
        return
    if isinstance(kind, DecimalKind):
        follows = any(column.name in columns[1:] for columns in sheet.ordered)
        if kind.maximum is not None and kind.maximum != MOST_WHOLE:
            yield between(field, int(kind.minimum or 0), int(kind.maximum))
        elif kind.minimum == 1:
            yield from at_least_one(field)
        elif kind.minimum == 0 and not follows:
            yield from not_negative(field)
        return
    if column.required:
        yield from filled(field)
    if isinstance(kind, ChoiceKind):
        yield one_of(field, kind.codes)


def _linked(sheet: Sheet, column: str) -> str | None:
    """The foreign key that a column is read through, if any."""
    links = [(one.field, one.read_through) for one in sheet.references]
    links += [(place.field, (place.location,)) for place in sheet.places]
    return next((field for field, columns in links if field and column in columns), None)


def _orders(sheet: Sheet) -> Iterator[CheckConstraint]:
    for columns in sheet.ordered:
        yield from (in_order(low, high) for low, high in pairwise(columns))


def not_negative(*fields: str) -> list[CheckConstraint]:
    return [_check(f"{field}_not_negative", Q(**{f"{field}__gte": 0})) for field in fields]


def at_least_one(*fields: str) -> list[CheckConstraint]:
    return [_check(f"{field}_at_least_one", Q(**{f"{field}__gte": 1})) for field in fields]


def between(field: str, low: float, high: float) -> CheckConstraint:
    return _check(f"{field}_in_range", Q(**{f"{field}__gte": low, f"{field}__lte": high}))


def in_order(low: str, high: str) -> CheckConstraint:
    """`low` is at most `high`; an empty end passes (SQL null is not false)."""
    return _check(f"{low}_up_to_{high}", Q(**{f"{low}__lte": F(high)}))


def one_of(field: str, choices: Any) -> CheckConstraint:
    """Only the values of the choices, or empty."""
    return _check(f"{field}_is_known", Q(**{f"{field}__in": ["", *choices.values]}))


def filled(*fields: str) -> list[CheckConstraint]:
    return [_check(f"{field}_is_filled", ~Q(**{field: ""})) for field in fields]


def key(*fields: str, nulls_equal: bool = False) -> UniqueConstraint:
    """The key of the sheet; with `nulls_equal` an empty key part is a value like any other."""
    return UniqueConstraint(
        fields=fields, name="%(app_label)s_%(class)s_key", nulls_distinct=False if nulls_equal else None
    )


def _check(name: str, condition: Q) -> CheckConstraint:
    return CheckConstraint(condition=condition, name=f"%(app_label)s_%(class)s_{name}")


def flat(*groups: Any) -> list[Any]:
    """One list out of constraints and lists of constraints."""
    return [item for group in groups for item in (group if isinstance(group, Iterable) else [group])]

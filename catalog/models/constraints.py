"""Database constraints that many tables share, each with a name of its own."""

from collections.abc import Iterable
from typing import Any

from django.db.models import CheckConstraint, F, Q, UniqueConstraint


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

"""How the fields of an answer stand in the contract: annotations that the API's codec reads. Pure.

A public field of a frozen dataclass is a member of the answer under its own name, for every role; what differs is
said beside its type: `Annotated[int | None, STAFF, "Cars in operation."]`. A text describes the member.
"""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from typing import Annotated, Any

from catalog.codes import Role


@dataclass(frozen=True, slots=True)
class MinimumRole:
    """The least role that sees the member; it is left out for others, to whom alone it is None if `known`."""

    role: Role
    known: bool = False


@dataclass(frozen=True, slots=True)
class Named:
    """The name of the member where the field cannot have it."""

    name: str


@dataclass(frozen=True, slots=True)
class As:
    """The member is what `convert` makes of the field, of the type `shape`; nothing stays null."""

    convert: Callable[[Any], Any]
    shape: Any


@dataclass(frozen=True, slots=True)
class Plain:
    """The member is what `convert` makes of the field: plain data as JSON holds it, of the type `shape`."""

    shape: Any
    convert: Callable[[Any], Any] = lambda value: value


@dataclass(frozen=True, slots=True)
class Minimum:
    """The least value of the member."""

    value: int


class member(property):  # noqa: N801  # used as a decorator, as `property` is
    """A property of an answer that is one of its members; its docstring describes it."""


@dataclass(frozen=True, slots=True)
class Values:
    """The member has only some of its enumeration's values."""

    values: tuple[str, ...]


class NotAsked:
    """The value of a member that was not asked for, and is left out."""


INTERNAL = "internal"
"""The field is for pages and services alone."""
INLINE = "inline"
"""The members of the field stand beside those of its owner."""
STAFF = MinimumRole(Role.SALES)
KNOWN_TO_STAFF = MinimumRole(Role.SALES, known=True)
NOT_ASKED = NotAsked()


@dataclass(frozen=True, slots=True)
class RevisionRef:
    """A revision of a part."""

    part: str
    revision: str


def tenths(cars: Fraction) -> float:
    """Cars to one decimal, half up.

    >>> tenths(Fraction(1, 4)), tenths(Fraction(7, 20))
    (0.3, 0.4)
    """
    exact = Decimal(cars.numerator * 100 // cars.denominator) / 100
    # What lies behind the second decimal can only lift a tie, never make one.
    return float(exact.quantize(Decimal("0.1"), ROUND_HALF_UP))


Count = Annotated[int, Minimum(0)]
TextOrNull = Annotated[str, As(lambda text: text or None, str | None)]
"""A text of which an empty one says nothing."""
FigureOrNull = Annotated[Decimal | None, As(float, float)]
MINUTES = As(lambda minutes: round(float(minutes), 4), float)
"""Minutes to four places: far below what anybody measures."""
Cars = Annotated[Fraction, As(tenths, float)]
"""Cars to one decimal."""
Revisions = Annotated[
    tuple[tuple[str, str], ...], As(lambda keys: [RevisionRef(*key) for key in keys], tuple[RevisionRef, ...])
]
"""Revisions by part and letter."""

"""How the fields of an answer stand in the contract: annotations that the API's codec reads. Pure.

A public field of a frozen dataclass is a member of the answer under its own name, for every role; what differs is
said beside its type: `Annotated[int | None, STAFF, "Cars in operation."]`. A text describes the member.
"""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Any

from catalog.codes import Role


@dataclass(frozen=True, slots=True)
class Least:
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


class member(property):  # noqa: N801  # used as a decorator, as `property` is
    """A property of an answer that is one of its members; its docstring describes it."""


class NotAsked:
    """The value of a member that was not asked for, and is left out."""


INTERNAL = "internal"
"""The field is for pages and services alone."""
INLINE = "inline"
"""The members of the field stand beside those of its owner."""
STAFF = Least(Role.SALES)
KNOWN_TO_STAFF = Least(Role.SALES, known=True)
NOT_ASKED = NotAsked()

TextOrNull = Annotated[str, As(lambda text: text or None, str | None)]
"""A text of which an empty one says nothing."""
FigureOrNull = Annotated[Decimal | None, As(float, float)]
Minutes = Annotated[Fraction | float, As(lambda minutes: round(float(minutes), 4), float)]
"""Minutes to four places: far below what anybody measures."""

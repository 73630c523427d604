"""Conditions: clauses that must all hold, written `attribute = value | value; option.CODE = no; built = 2016..`.

Two texts that mean the same clauses have one canonical form, and it is the canonical form that is stored.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from functools import lru_cache

from catalog.charset import value_fault
from catalog.codes import OF_VARIANT, CarAttribute, DayAttribute, YesNo
from catalog.windows import BadDate, Window, parse_range, write_range

OF_PLACE = ("axle", "location")
"""The attributes of the place that conditions stand at, not of the car."""
BUILT = DayAttribute.BUILT
ATTRIBUTES = (CarAttribute.MAKER, CarAttribute.CHASSIS, CarAttribute.VARIANT, *OF_VARIANT, *OF_PLACE, BUILT)
"""In the order in which conditions are stored."""
OPTION = "option."


class BadCondition(ValueError):
    """A text that is no condition; the message says what is wrong and what would be right."""


@dataclass(frozen=True, slots=True)
class Clause:
    """One attribute against a set of values; `built` has windows, every other attribute texts."""

    attribute: str
    negated: bool
    values: frozenset[str] = frozenset()
    windows: tuple[Window, ...] = ()

    @property
    def option(self) -> str | None:
        """The code of the option asked about, or None."""
        return self.attribute[len(OPTION) :] if self.attribute.startswith(OPTION) else None

    def holds(self, value: str) -> bool:
        """Whether a value of the attribute (for an option: `yes` or `no`) meets the clause."""
        return (value in self.values) is not self.negated

    def holds_on(self, day: date) -> bool:
        """Whether a build day meets a clause about `built`."""
        return any(day in window for window in self.windows) is not self.negated

    def __str__(self) -> str:
        values = [write_range(window) for window in self.windows] if self.attribute == BUILT else sorted(self.values)
        return f"{self.attribute} {'!=' if self.negated else '='} {' | '.join(values)}"


@dataclass(frozen=True, slots=True)
class Conditions:
    """Clauses that must all hold, in canonical order; none at all always hold."""

    clauses: tuple[Clause, ...] = ()

    @classmethod
    def of(cls, clauses: Iterable[Clause]) -> "Conditions":
        """These clauses in canonical order, each once."""
        return cls(tuple(sorted(set(clauses), key=_order)))

    def __bool__(self) -> bool:
        return bool(self.clauses)

    def __str__(self) -> str:
        return "; ".join(str(clause) for clause in self.clauses)


NONE = Conditions()


@lru_cache(maxsize=20_000)
def parse_conditions(text: str) -> Conditions:
    """The conditions a text states, in canonical order.

    Raises BadCondition when a clause has no `=`, an unknown attribute, no value, or a bad date.

    >>> str(parse_conditions("engine=E30|E20;built = 2016-03-01..2018-07"))
    'engine = E20 | E30; built = 2016-03..2018-07'
    """
    pieces = [piece.strip() for piece in text.split(";")]
    clauses = {_clause(piece) for piece in pieces if piece}
    if text.strip() and not all(pieces[:-1] if len(pieces) > 1 else pieces):
        raise BadCondition("an empty clause stands between two ';'")
    return Conditions.of(clauses)


def _order(clause: Clause) -> tuple[int, str, str]:
    rank = ATTRIBUTES.index(clause.attribute) if clause.option is None else len(ATTRIBUTES)
    return rank, clause.attribute, str(clause)


def _clause(piece: str) -> Clause:
    left, found, right = piece.partition("=")
    if not found:
        raise BadCondition(f"'{piece}' has no '='; write attribute = value | value")
    negated = left.endswith("!")
    attribute = left.removesuffix("!").strip()
    texts = [value.strip() for value in right.split("|")]
    if not all(texts):
        raise BadCondition(f"'{piece}' lacks a value")
    if attribute == BUILT:
        try:
            windows = {parse_range(value) for value in texts}
        except BadDate as error:
            raise BadCondition(f"built: {error}") from error
        return Clause(attribute, negated, windows=tuple(sorted(windows, key=write_range)))
    if attribute.startswith(OPTION) and attribute != OPTION:
        return _option_clause(attribute, negated, texts)
    if attribute not in ATTRIBUTES:
        raise BadCondition(f"'{attribute}' is no attribute; use one of {', '.join(ATTRIBUTES)} or option.CODE")
    for value in texts:
        if fault := value_fault(value):
            raise BadCondition(f"'{value}': {fault}")
    return Clause(attribute, negated, frozenset(texts))


def _option_clause(attribute: str, negated: bool, texts: list[str]) -> Clause:
    for value in texts:
        if value not in YesNo.values:
            raise BadCondition(f"{attribute} is yes or no, not '{value}'")
    values = frozenset(texts)
    if negated and len(values) == 1:
        return Clause(attribute, False, frozenset(YesNo.values) - values)
    return Clause(attribute, negated, values)

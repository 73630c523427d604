"""Filters of computed rows: each value must be one that the catalogue knows, and a row one of those given."""

from collections.abc import Callable, Collection, Mapping, Sequence
from typing import Any

from api.parameters import Errors, Parameter
from catalog.nearest import unknown

Values = Mapping[str, Sequence[str]]


def check_known(values: Values, known: Mapping[str, Callable[[], Collection[str]]], errors: Errors) -> None:
    """Adds an error for every value that is not known; `known` gives the values of a parameter when asked."""
    for name, given in values.items():
        if name in known:
            codes = known[name]()
            for value in given:
                if value not in codes:
                    errors.add(name, unknown(name, value, codes))


def keeps(values: Values, read: Mapping[str, Callable[[Any], Collection[str]]]) -> Callable[[Any], bool]:
    """Whether a row has, for every parameter given, one of the values given; `read` finds those of a row."""
    wanted = [(frozenset(values[name]), of) for name, of in read.items() if name in values]
    return lambda row: all(not given.isdisjoint(of(row)) for given, of in wanted)


def repeatable(*names: str) -> tuple[Parameter, ...]:
    """Parameters that keep the rows with one of the values given."""
    return tuple(Parameter(name, f"Rows of this {name}.", repeatable=True) for name in names)

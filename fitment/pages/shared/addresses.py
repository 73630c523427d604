"""Addresses: the state of a page is its query, and nothing else. Pure."""

from collections.abc import Iterable, Mapping
from urllib.parse import quote, urlencode

from catalog.codes import OF_CAR

Query = Mapping[str, list[str]]

# The parameters of a car come first; an address then reads like a description.
_ORDER = list(map(str, OF_CAR))


def address(
    path: str, query: Query, *, adding: Mapping[str, str] | None = None, dropping: Iterable[str] = (), at: str = ""
) -> str:
    """The address of a page with a query, some parameters replaced, some left out; `at` is the fragment.

    >>> address("/car/", {"chassis": ["QN4"], "skip": ["engine"]}, adding={"body": "estate"}, dropping=["skip"])
    '/car/?chassis=QN4&body=estate'
    """
    kept = {name: list(values) for name, values in query.items() if name not in set(dropping)}
    for name, value in (adding or {}).items():
        kept[name] = [value]
    names = sorted(kept, key=lambda name: (_ORDER.index(name) if name in _ORDER else len(_ORDER), name))
    pairs = [(name, value) for name in names for value in kept[name]]
    return path + (f"?{urlencode(pairs)}" if pairs else "") + (f"#{at}" if at else "")


def with_value(query: Query, name: str, value: str) -> dict[str, list[str]]:
    """A query with one more value of a repeatable parameter.

    >>> with_value({"skip": ["engine"]}, "skip", "built")
    {'skip': ['engine', 'built']}
    """
    kept = {key: list(values) for key, values in query.items()}
    if value not in kept.setdefault(name, []):
        kept[name].append(value)
    return kept


def without_value(query: Query, name: str, value: str) -> dict[str, list[str]]:
    """A query without one value of a parameter."""
    kept = {key: [each for each in values if (key, each) != (name, value)] for key, values in query.items()}
    return {key: values for key, values in kept.items() if values}


def is_of_car(name: str) -> bool:
    """Whether a parameter states the car."""
    return name in OF_CAR or name.startswith(("option.", "component."))


def number_address(number: str, issuer: str | None = None) -> str:
    """The page of a number, whatever signs it holds.

    >>> number_address("EB 3/111-01")
    '/number/EB%203%2F111-01/'
    """
    return address(f"/number/{quote(number, safe='')}/", {"issuer": [issuer]} if issuer else {})


def edition_number(text: str) -> int | None:
    """The number of an edition as a form or an address has it; None where it is no whole number that one can have.

    >>> edition_number("17"), edition_number("seventeen"), edition_number("9999999999")
    (17, None, None)
    """
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 10 else None

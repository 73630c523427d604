"""The parameters of an address: declared once, checked against the query, shown in the OpenAPI document."""

import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.http import QueryDict

from api.problems import bad_parameters
from catalog.nearest import shortened, unknown
from catalog.vin import VIN_IN_ADDRESS, has_vin_shape

VIN_REFUSED = f"{VIN_IN_ADDRESS}; post it to vin/"


@dataclass(frozen=True, slots=True)
class Parameter:
    """One query parameter: its name, what it does, its values where they are few.

    `kind` is the type of the schema: `string`, `integer` or `number`.
    """

    name: str
    text: str
    values: tuple[str, ...] = ()
    kind: str = "string"
    repeatable: bool = False
    required: bool = False
    minimum: int | None = None
    maximum: int | None = None

    def schema(self) -> dict[str, Any]:
        """The JSON schema of one value."""
        schema: dict[str, Any] = {"type": self.kind}
        if self.values:
            schema["enum"] = list(self.values)
        if self.minimum is not None:
            schema["minimum"] = self.minimum
        if self.maximum is not None:
            schema["maximum"] = self.maximum
        return schema


PAGE_SIZE = Parameter("page_size", "Rows of one page.", kind="integer", minimum=1, maximum=500)
CURSOR = Parameter("cursor", "Where a page begins: taken from `next` or `previous`.")
PAGING = (PAGE_SIZE, CURSOR)


class Errors:
    """What is wrong with a request, gathered so that one answer names it all."""

    def __init__(self) -> None:
        self.found: list[tuple[str, str]] = []

    def add(self, field: str, message: str) -> None:
        self.found.append((field, message))

    def stop(self) -> None:
        """Raises the problem when anything is wrong."""
        if self.found:
            raise bad_parameters(self.found)


def checked(query: QueryDict, parameters: Sequence[Parameter], errors: Errors | None = None) -> dict[str, list[str]]:
    """The values by parameter: names known, values of the declared kind, each once unless it may be repeated.

    Raises the 400 problem, or with `errors` leaves that to the caller.
    """
    gathered = errors or Errors()
    known = {parameter.name: parameter for parameter in parameters}
    values: dict[str, list[str]] = {}
    for name, given in query.lists():
        if has_vin_shape(name) or any(has_vin_shape(value) for value in given):
            gathered.add("query" if has_vin_shape(name) else name, VIN_REFUSED)
        elif name not in known:
            none = "this address takes no parameters"
            gathered.add(name, unknown("parameter", name, known) if known else none)
        elif message := _fault(known[name], given):
            gathered.add(name, message)
        else:
            values[name] = given
    for name, parameter in known.items():
        if parameter.required and name not in query:
            gathered.add(name, "is required")
    if errors is None:
        gathered.stop()
    return values


def _fault(parameter: Parameter, given: Sequence[str]) -> str | None:
    if len(given) > 1 and not parameter.repeatable:
        return f"is given {len(given)} times; give it once"
    for value in given:
        if not value:
            return "is empty; give a value or leave it out"
        if sign := control_sign(value):
            return f"holds the control sign U+{ord(sign):04X}"
        if parameter.values and value not in parameter.values:
            return unknown(parameter.name, value, parameter.values)
        if parameter.kind == "integer" and (message := _whole_fault(parameter, value)):
            return message
    return None


def _whole_fault(parameter: Parameter, value: str) -> str | None:
    limits = f"from {parameter.minimum}" if parameter.minimum is not None else ""
    limits += f" to {parameter.maximum}" if parameter.maximum is not None else ""
    wanted = f"write a whole number {limits}".rstrip()
    digits = value.removeprefix("-")
    if not (digits.isascii() and digits.isdigit() and len(digits) <= 9):
        return f"'{shortened(value)}' is not a whole number here; {wanted}"
    number = int(value)
    low = parameter.minimum is not None and number < parameter.minimum
    high = parameter.maximum is not None and number > parameter.maximum
    return f"'{value}' is out of range; {wanted}" if low or high else None


def control_sign(text: str) -> str | None:
    """The first sign that no text here may hold: a control sign or half of a surrogate pair."""
    if text.isascii() and text.isprintable():
        return None
    return next((sign for sign in text if unicodedata.category(sign) in ("Cc", "Cs")), None)


def refuse_unholdable(query: QueryDict) -> None:
    """Raises the 400 problem where a name or value holds a sign that no database takes: the zero byte."""
    errors = Errors()
    for name, given in query.lists():
        if "\0" in name or any("\0" in value for value in given):
            errors.add("query" if "\0" in name else name, "holds the control sign U+0000")
    errors.stop()


def one(values: Mapping[str, Sequence[str]], name: str) -> str | None:
    """The value of a parameter that is given once, or None."""
    given = values.get(name)
    return given[0] if given else None


def whole(values: Mapping[str, Sequence[str]], name: str, default: int) -> int:
    """A checked whole number, or the default."""
    given = one(values, name)
    return default if given is None else int(given)

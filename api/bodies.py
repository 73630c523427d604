"""Bodies in and out: JSON of bounded size, numbers as numbers, days as ISO 8601."""

import json
from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction
from typing import IO, Any

from rest_framework.exceptions import ParseError
from rest_framework.negotiation import DefaultContentNegotiation
from rest_framework.parsers import JSONParser
from rest_framework.renderers import JSONRenderer

from api.parameters import control_sign
from api.problems import MEDIA_TYPE, Problem, bad_body
from catalog.vin import has_vin_shape

LARGEST = 4 * 1024 * 1024


def dumps(body: Any) -> bytes:
    """A body as UTF-8 JSON.

    >>> dumps({"built_from": date(2016, 2, 1), "bore_mm": Decimal("62.00000")})
    b'{"built_from":"2016-02-01","bore_mm":62.0}'
    """
    return json.dumps(body, ensure_ascii=False, separators=(",", ":"), default=_plain).encode()


def _plain(value: Any) -> Any:
    match value:
        case Decimal():
            return float(value)
        case datetime() | date():
            return value.isoformat()
        case Fraction():
            return str(value)
        case set() | frozenset():
            return sorted(value)
    raise TypeError(f"{type(value).__name__} has no form in JSON")


class BodyParser(JSONParser):
    """JSON up to `LARGEST` bytes, without the signs a database cannot hold."""

    def parse(
        self, stream: IO[bytes], media_type: str | None = None, parser_context: Mapping[str, Any] | None = None
    ) -> Any:
        raw = stream.read(LARGEST + 1)
        if len(raw) > LARGEST:
            raise Problem(413, f"The body is larger than {LARGEST} bytes.")
        try:
            body = json.loads(raw.decode(), parse_constant=_refuse_constant)
        except RecursionError:
            raise ParseError("The body nests deeper than any answer needs") from None
        except ValueError as error:
            raise ParseError(f"The body is not JSON in UTF-8: {error}") from None
        _check_texts(body)
        return body


def _refuse_constant(name: str) -> Any:
    raise ValueError(f"{name} is no number of JSON (RFC 8259, 6)")


def _check_texts(body: Any, field: str = "body") -> None:
    if isinstance(body, str):
        if sign := control_sign(body.translate({9: " ", 10: " ", 13: " "})):
            raise bad_body([(field, f"holds the control sign U+{ord(sign):04X}")])
    elif isinstance(body, dict):
        for name, value in body.items():
            _check_texts(name, "body")
            _check_texts(value, name)
    elif isinstance(body, list):
        for value in body:
            _check_texts(value, field)


def refuse_vins(body: Any, field: str = "body") -> None:
    """Raises 400 where a text of the body has the shape of a vehicle identification number."""
    if isinstance(body, str) and has_vin_shape(body):
        raise bad_body([(field, "has the shape of a vehicle identification number, never kept here")])
    if isinstance(body, dict):
        for name, value in body.items():
            refuse_vins(value, name)
    elif isinstance(body, list):
        for value in body:
            refuse_vins(value, field)


class Json(JSONRenderer):
    """The one form of answers."""

    charset = None

    def render(self, data: Any, *args: Any, **kwargs: Any) -> bytes:
        return dumps(data)


class Negotiation(DefaultContentNegotiation):
    """JSON for whoever takes JSON or its problem form; 406 for the rest."""

    def get_accept_list(self, request: Any) -> list[str]:
        wanted = super().get_accept_list(request)
        return ["application/json" if MEDIA_TYPE in part else part for part in wanted]

"""From a frozen dataclass to JSON, and to the schema of that JSON: the one way out of the API.

Both are worked out from the annotations of a class (`fitment.answers.contract` has those that are ours), once a class
and role.
"""

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, is_dataclass
from datetime import date, datetime
from decimal import Decimal
from enum import Enum
from fractions import Fraction
from functools import cache
from operator import attrgetter
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints
from uuid import UUID

from catalog.codes import Reason, Role
from fitment.answers.contract import (
    INLINE,
    INTERNAL,
    NOT_ASKED,
    As,
    Minimum,
    MinimumRole,
    Named,
    NotAsked,
    Plain,
    Values,
    member,
)
from fitment.answers.fit import NextQuestion
from fitment.answers.job import JobStep
from fitment.text.fit import question_text, reason_text
from fitment.text.job import step_text

Encode = Callable[[Any], Any]
Schema = dict[str, Any]

WORDED: Mapping[type, Callable[[Any], str]] = {Reason: reason_text}
"""Codes that stand with their sentence, as `code` and `text`."""
TEXTS: Mapping[type, Callable[[Any], str]] = {NextQuestion: question_text, JobStep: step_text}
"""Answers that have a member `text` beside their fields."""
PLAIN: Mapping[type, Schema] = {
    str: {"type": "string"},
    bool: {"type": "boolean"},
    int: {"type": "integer"},
    float: {"type": "number", "format": "double"},
    Decimal: {"type": "number"},
    Fraction: {"type": "number"},
    date: {"type": "string", "format": "date"},
    datetime: {"type": "string", "format": "date-time"},
    UUID: {"type": "string", "format": "uuid"},
    NoneType: {"type": "null"},
    Any: {},
}
CONVERTED: Mapping[type, Encode] = {
    Decimal: float,
    Fraction: float,
    date: date.isoformat,
    datetime: datetime.isoformat,
    UUID: str,
}


@dataclass(frozen=True, slots=True)
class Member:
    """One member of an answer: where it is read, its type, its description, who sees it."""

    name: str
    read: Encode
    type: Any
    text: str = ""
    minimum_role: Role = Role.PUBLIC
    optional: bool = False


@cache
def members(of: type) -> tuple[Member, ...]:
    """The members of a dataclass: fields, then properties marked as such, then its text."""
    return tuple(_members(of))


def _members(of: type) -> Iterator[Member]:
    hints = get_type_hints(of, include_extras=True)
    for field in fields(of):
        yield from _field(of, field.name, hints[field.name])
    for name in dir(of):
        found = getattr(of, name)
        if isinstance(found, member) and found.fget is not None:
            returned = get_type_hints(found.fget, include_extras=True)["return"]
            yield from _field(of, name, returned, found.__doc__ or "")
    if of in TEXTS:
        yield Member("text", TEXTS[of], str)


def _field(of: type, name: str, hint: Any, text: str = "") -> Iterator[Member]:
    kind, marks = _marks(hint)
    if INTERNAL in marks or name.startswith("_"):
        return
    read = attrgetter(name)
    if INLINE in marks:
        for inner in members(kind):
            yield Member(
                inner.name, _both(read, inner.read), inner.type, inner.text, inner.minimum_role, inner.optional
            )
        return
    minimum_role, optional = Role.PUBLIC, NotAsked in get_args(kind)
    for mark in marks:
        match mark:
            case MinimumRole():
                minimum_role = mark.role
                hint = _without_null(kind) if mark.known else hint
            case Named():
                name = mark.name
            case str():
                text = mark
    yield Member(name, read, hint, text, minimum_role, optional)


def _both(outer: Encode, inner: Encode) -> Encode:
    return lambda value: inner(outer(value))


def _without_null(kind: Any) -> Any:
    return Union[tuple(one for one in get_args(kind) if one is not NoneType)]  # noqa: UP007  # made, not written


def _marks(hint: Any) -> tuple[Any, Sequence[Any]]:
    """A type without what is annotated, and that."""
    return (hint.__origin__, hint.__metadata__) if get_origin(hint) is Annotated else (hint, ())


def encode(value: Any, role: Role, kind: Any = None) -> Any:
    """The value as plain data for this role; `kind` where its own class does not say its type."""
    of: Any = kind or type(value)
    return _encoder(of, role)(value)


@cache
def _encoder(hint: Any, role: Role) -> Encode:
    kind, marks = _marks(hint)
    for mark in marks:
        if isinstance(mark, As):
            return _converted(mark.convert, _encoder(mark.shape, role))
        if isinstance(mark, Plain):
            return _converted(mark.convert, _same)
    origin, inside = get_origin(kind), get_args(kind)
    if origin in (Union, UnionType):
        return _union([one for one in inside if one not in (NoneType, NotAsked)], role)
    if origin is tuple and Ellipsis not in inside:
        each = [_encoder(one, role) for one in inside]
        return lambda value: [encode(part) for encode, part in zip(each, value, strict=True)]
    if origin is Literal:
        return _same
    if origin is not None:
        return _mapping(_encoder(inside[1], role)) if issubclass(origin, Mapping) else _list(_encoder(inside[0], role))
    if kind in WORDED:
        words = WORDED[kind]
        return lambda code: {"code": code, "text": words(code)}
    if isinstance(kind, type) and is_dataclass(kind):
        return _object(kind, role)
    return CONVERTED.get(kind, _same)


def _same(value: Any) -> Any:
    return value


def _converted(convert: Encode, then: Encode) -> Encode:
    return lambda value: None if value is None else then(convert(value))


def _union(kinds: Sequence[Any], role: Role) -> Encode:
    if len(kinds) == 1:
        only = _encoder(kinds[0], role)
        return only if only is _same else lambda value: None if value is None else only(value)
    if any(is_dataclass(kind) for kind in kinds):
        return lambda value: encode(value, role)
    return lambda value: CONVERTED.get(type(value), _same)(value)


def _list(each: Encode) -> Encode:
    return list if each is _same else lambda values: [each(value) for value in values]


def _mapping(each: Encode) -> Encode:
    return dict if each is _same else lambda values: {name: each(value) for name, value in values.items()}


def _object(of: type, role: Role) -> Encode:
    seen = [one for one in members(of) if role.at_least(one.minimum_role)]
    always = [(one.name, one.read, _encoder(one.type, role)) for one in seen if not one.optional]
    asked = [(one.name, one.read, _encoder(one.type, role)) for one in seen if one.optional]

    def written(value: Any) -> dict[str, Any]:
        found = {name: encode(read(value)) for name, read, encode in always}
        for name, read, encode in asked:
            if (inner := read(value)) is not NOT_ASKED:
                found[name] = encode(inner)
        return found

    return written


def schema(hint: Any, named: Callable[[type], Schema]) -> Schema:
    """The JSON Schema of what `encode` makes of a type; `named` gives the reference to a dataclass's own."""
    kind, marks = _marks(hint)
    for mark in marks:
        if isinstance(mark, As | Plain):
            inner = schema(mark.shape, named)
            return _nullable(inner) if NoneType in get_args(kind) else inner
        if isinstance(mark, Minimum):
            return {**schema(kind, named), "minimum": mark.value}
        if isinstance(mark, Values):
            return {"type": "string", "enum": list(mark.values)}
    origin, inside = get_origin(kind), get_args(kind)
    if origin is Literal:
        return {"type": "string", "enum": list(inside)} if isinstance(inside[0], str) else {"const": inside[0]}
    if origin in (Union, UnionType):
        kinds = [one for one in inside if one not in (NoneType, NotAsked)]
        found = schema(kinds[0], named) if len(kinds) == 1 else _any_of([schema(one, named) for one in kinds])
        return _nullable(found) if NoneType in inside else found
    if origin is tuple and Ellipsis not in inside:
        return {"type": "array", "items": schema(inside[0], named), "minItems": len(inside), "maxItems": len(inside)}
    if origin is not None and issubclass(origin, Mapping):
        return {"type": "object", "additionalProperties": schema(inside[1], named)}
    if origin is not None:
        return {"type": "array", "items": schema(inside[0], named)}
    if kind in WORDED:
        return named(kind)
    if isinstance(kind, type) and is_dataclass(kind):
        return named(kind)
    if isinstance(kind, type) and issubclass(kind, Enum):
        return {"type": "string", "enum": [one.value for one in kind]}
    return dict(PLAIN[kind])


def object_schema(of: type, named: Callable[[type], Schema]) -> Schema:
    """The schema of a dataclass itself, or of a code with its sentence."""
    if of in WORDED:
        code = {"type": "string", "enum": [one.value for one in of]}  # type: ignore[attr-defined]  # an enumeration
        return {
            "type": "object",
            "description": of.__doc__,
            "properties": {"code": code, "text": {"type": "string"}},
            "required": ["code", "text"],
        }
    found = members(of)
    described = {one.name: _described(schema(one.type, named), one.text) for one in found}
    return {
        "type": "object",
        "description": re.split(r"\n\s*\n", (of.__doc__ or "").strip(), maxsplit=1)[0],
        "properties": described,
        "required": [one.name for one in found if not one.optional and one.minimum_role is Role.PUBLIC],
    }


def _nullable(found: Schema) -> Schema:
    if isinstance(found.get("type"), str) and "enum" not in found:
        return {**found, "type": [found["type"], "null"]}
    return _any_of([found, {"type": "null"}])


def _any_of(kinds: list[Schema]) -> Schema:
    kinds = [one for found in kinds for one in found.get("oneOf", [found])]
    return {"oneOf": [one for at, one in enumerate(kinds) if one not in kinds[:at]]}


def described(hint: Any, named: Callable[[type], Schema]) -> Schema:
    """The schema of a type with the text that is annotated."""
    return _described(schema(hint, named), next((mark for mark in _marks(hint)[1] if isinstance(mark, str)), ""))


def _described(found: Schema, text: str) -> Schema:
    """A reference may not have a description beside it in every tool, so it is wrapped."""
    if not text:
        return found
    return {"allOf": [found], "description": text} if "$ref" in found else {**found, "description": text}

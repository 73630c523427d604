"""From a frozen answer to JSON and its schema: each annotation, then every answer that an address declares."""

import json
from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass
from datetime import date, datetime
from enum import Enum
from fractions import Fraction
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints
from uuid import UUID

import numpy as np
import pytest
from jsonschema import Draft202012Validator

from api.bodies import dumps
from api.codec import encode, members, object_schema, schema
from api.schema import Answered
from api.urls import VERSION_1
from catalog.codes import End, Reason, Role, Verdict
from fitment.answers.contract import (
    INLINE,
    INTERNAL,
    KNOWN_TO_STAFF,
    MINUTES,
    NOT_ASKED,
    STAFF,
    As,
    Count,
    MinimumRole,
    Named,
    NotAsked,
    Plain,
    TextOrNull,
    Values,
    member,
)
from fitment.text.fit import reason_text


@dataclass(frozen=True, slots=True)
class Inner:
    """What stands inside."""

    day: date | None
    reasons: tuple[Reason, ...] = ()


@dataclass(frozen=True, slots=True)
class Beside:
    """What stands beside."""

    beside: Fraction


@dataclass(frozen=True, slots=True)
class Outer:
    """All kinds of members.

    This is for readers of the code.
    """

    text: TextOrNull
    count: Count
    minutes: Annotated[Fraction | None, MINUTES]
    mark: Annotated[str, Named("from"), "From where."]
    end: Annotated[str, As(End, End)]
    stored: Annotated[dict[str, Any] | None, Plain(dict[str, int])]
    verdict: Annotated[Verdict, Values((Verdict.FITS, Verdict.DEPENDS))]
    inner: tuple[Inner, ...]
    span: tuple[float, float]
    flat: Annotated[Beside, INLINE]
    secret: Annotated[str, INTERNAL] = ""
    cars: Annotated[int | None, KNOWN_TO_STAFF] = None
    average: Annotated[float | None, STAFF] = None
    job: int | NotAsked | None = NOT_ASKED

    @member
    def place(self) -> Annotated[str, Named("location")]:
        """END.LOCATION."""
        return f"{self.end}.{self.mark}"


OUTER = Outer(
    text="",
    count=3,
    minutes=Fraction(1, 3),
    mark="arm",
    end="rear",
    stored={"a": 1},
    verdict=Verdict.FITS,
    inner=(Inner(date(2018, 5, 1), (Reason.APPROVED,)),),
    span=(1.0, 2.0),
    flat=Beside(Fraction(1, 2)),
    secret="not for the API",
    cars=7,
)


def test_each_annotation_in_what_is_encoded():
    assert encode(OUTER, Role.PUBLIC) == {
        "text": None,
        "count": 3,
        "minutes": 0.3333,
        "from": "arm",
        "end": "rear",
        "stored": {"a": 1},
        "verdict": "fits",
        "inner": [{"day": "2018-05-01", "reasons": [{"code": "approved", "text": reason_text(Reason.APPROVED)}]}],
        "span": [1.0, 2.0],
        "beside": 0.5,
        "location": "rear.arm",
    }


def test_a_member_for_staff_is_there_for_them_alone_and_one_not_asked_for_is_left_out():
    for role in Role:
        staff = {"cars": 7, "average": None} if role.is_staff else {}
        assert encode(OUTER, role) == encode(OUTER, Role.PUBLIC) | staff


def test_each_annotation_in_the_schema():
    found = object_schema(Outer, _named)
    properties = found["properties"]
    assert found["description"] == "All kinds of members."
    assert properties["text"] == {"type": ["string", "null"]}
    assert properties["count"] == {"type": "integer", "minimum": 0}
    assert properties["minutes"]["type"] == ["number", "null"]
    assert properties["from"] == {"type": "string", "description": "From where."}
    assert properties["end"]["enum"] == ["front", "rear"]
    assert properties["stored"]["type"] == ["object", "null"]
    assert properties["verdict"]["enum"] == ["fits", "depends"]
    assert (properties["span"]["minItems"], properties["span"]["maxItems"]) == (2, 2)
    assert properties["cars"] == {"type": "integer"}  # never null to those who see it
    assert properties["average"]["type"] == ["number", "null"]
    assert properties["location"]["description"] == "END.LOCATION."
    assert "secret" not in properties
    assert set(properties) - set(found["required"]) == {"cars", "average", "job"}


def _named(of: type) -> dict[str, Any]:
    """A reference replaced by what it refers to."""
    return object_schema(of, _named)


def _declared() -> list[type]:
    """The classes of the answers that addresses declare."""
    found: dict[type, None] = {}
    for route in VERSION_1:
        for answer in getattr(route.callback, "view_class", route.callback).__dict__.get("answers", {}).values():
            if isinstance(answer, Answered):
                found |= dict.fromkeys(get_args(answer.of) or (answer.of,))
    return list(found)


EXAMPLES: dict[Any, Any] = {
    str: "12",  # which some answers send as a number
    date: date(2018, 5, 1),
    datetime: datetime(2018, 5, 1),
    UUID: UUID(int=1),
}


def _example(hint: Any, full: bool) -> Any:
    """A value of a type; with `full` nothing is empty that could be filled."""
    kind, marks = (hint.__origin__, hint.__metadata__) if get_origin(hint) is Annotated else (hint, ())
    for mark in marks:
        if isinstance(mark, Values):
            return mark.values[-1]
        if isinstance(mark, As) and isinstance(mark.shape, type) and issubclass(mark.shape, Enum):
            kind = Literal[next(iter(mark.shape)).value]
        if isinstance(mark, MinimumRole) and mark.known:
            full = True  # null is for the public alone, who are not shown it
        if isinstance(mark, Plain) and NoneType in get_args(kind):
            return None
    origin, inside = get_origin(kind), get_args(kind)
    if origin in (Union, UnionType):
        if not full and (NoneType in inside or NotAsked in inside):
            return None if NoneType in inside else NOT_ASKED
        return _example(next(one for one in inside if one not in (NoneType, NotAsked)), full)
    if origin is Literal:
        return inside[0]
    if origin is tuple and Ellipsis not in inside:
        return tuple(_example(one, full) for one in inside)
    if origin is not None and issubclass(origin, Mapping):
        return {"name": _example(inside[1], full)} if full else {}
    if origin is np.ndarray:
        return np.ones(3)
    if origin is not None:
        return origin([_example(inside[0], full)]) if full else origin()
    if is_dataclass(kind):
        hints = get_type_hints(kind, include_extras=True)
        known = {"attribute": "body"}  # which has a question in words
        values = {one.name: known.get(one.name, _example(hints[one.name], full)) for one in fields(kind)}
        return kind(**values)
    if issubclass(kind, Enum):
        return next(iter(kind))
    if kind is NoneType:
        return None
    return EXAMPLES[kind] if kind in EXAMPLES else kind(1)


def test_addresses_declare_answers():
    assert len(_declared()) >= 15


@pytest.mark.parametrize("full", [False, True], ids=["empty", "full"])
@pytest.mark.parametrize("of", _declared(), ids=lambda of: of.__name__)
def test_what_is_encoded_of_every_answer_agrees_with_its_schema(of, full):
    answer = _example(of, full)
    for role in Role:
        body = encode(answer, role)
        seen = {one.name for one in members(of) if role.at_least(one.minimum_role)}
        assert (
            seen
            >= set(body)
            >= {one.name for one in members(of) if one.minimum_role is Role.PUBLIC and not one.optional}
        )
        faults = list(Draft202012Validator(schema(of, _named)).iter_errors(json.loads(dumps(body))))
        assert not faults, [f"{'/'.join(map(str, fault.path))}: {fault.message}" for fault in faults]

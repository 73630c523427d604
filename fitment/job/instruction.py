"""The short code of a printed instruction: a digest of all that is printed but date and edition."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from decimal import Decimal
from enum import Enum
from fractions import Fraction
from typing import Any

from fitment.answers.job import Job

# no I, L, O, U and no 0, 1: a code is read from paper and typed
LETTERS = "23456789ABCDEFGHJKMNPQRSTVWXYZ"
LENGTH = 10
# offers and comparisons stand on the page and not on the sheet
NOT_PRINTED = ("saved_minutes", "while_in_there", "equipment_gaps", "home")


def instruction_code(content: Mapping[str, Any]) -> str:
    """The code of what is printed, as plain JSON data; equal contents have equal codes.

    Ten signs of thirty: two contents of one catalogue share a code once in some 10^14.

    >>> instruction_code({"a": 1, "b": 2}) == instruction_code({"b": 2, "a": 1})
    True
    """
    text = json.dumps(content, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    number = int.from_bytes(hashlib.sha256(text.encode()).digest(), "big")
    signs = []
    for _ in range(LENGTH):
        number, at = divmod(number, len(LETTERS))
        signs.append(LETTERS[at])
    return "".join(signs)


def is_code(text: str) -> bool:
    """Whether a text has the form of a code.

    >>> is_code("23456789AB"), is_code("0000000000")
    (True, False)
    """
    return len(text) == LENGTH and set(text) <= set(LETTERS)


def printed_content(job: Job) -> dict[str, Any]:
    """The printed content of a job: all of it but catalogue edition, its own code, offers and staff's counts."""
    return {
        "car": {"stated": job.car.stated, "shown": job.plan.shown},
        "parts": _plain(job.parts),
        "side": job.side,
        "equipment": list(job.equipment),
        "rules": _plain(job.rules),
        "plan": {name: value for name, value in _plain(job.plan).items() if name not in NOT_PRINTED},
    }


def _plain(value: Any) -> Any:
    """A value as JSON data: exact figures as texts, so that equal figures are equal texts."""
    match value:
        case Enum():
            return value.value
        case Mapping():
            return {str(key): _plain(one) for key, one in value.items()}
        case list() | tuple():
            return [_plain(one) for one in value]
        case Decimal():
            return f"{value.normalize():f}"
        case Fraction():
            return str(value)
        case float():
            return f"{value:.6g}"
    if is_dataclass(value):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
    return value

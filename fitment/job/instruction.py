"""The short code of a printed instruction: a digest of all that is printed but date and edition."""

import hashlib
import json
from collections.abc import Mapping
from typing import Any

# no I, L, O, U and no 0, 1: a code is read from paper and typed
LETTERS = "23456789ABCDEFGHJKMNPQRSTVWXYZ"
LENGTH = 10


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

"""Reading settings from the environment; a bad one is named, with what would be right."""

import os
from collections.abc import Iterable

from django.core.exceptions import ImproperlyConfigured


def items(name: str, default: str = "") -> list[str]:
    """The parts of a text separated by commas."""
    return [part.strip() for part in os.environ.get(name, default).split(",") if part.strip()]


def choice(name: str, default: str, allowed: Iterable[str]) -> str:
    """One of the allowed words, in any case. Raises `ImproperlyConfigured`."""
    given = os.environ.get(name, "") or default
    for word in allowed:
        if given.casefold() == word.casefold():
            return word
    raise ImproperlyConfigured(f"{name}: '{given}' is not known; write one of {', '.join(allowed)}")


def number(name: str, default: int) -> int:
    """A whole number from 1. Raises `ImproperlyConfigured`."""
    given = os.environ.get(name, "") or str(default)
    if not given.isdecimal() or int(given) < 1:
        raise ImproperlyConfigured(f"{name}: '{given}' is no number; write one from 1, such as {default}")
    return int(given)

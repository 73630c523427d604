"""The nearest known word to one that is not known."""

from collections.abc import Iterable
from difflib import get_close_matches
from itertools import islice

MOST_COMPARED = 5_000


def nearest_of(text: str, known: Iterable[str]) -> str | None:
    """The known word most like a text, or None; of very many only the first are compared.

    >>> nearest_of("makres", ["makers", "axles"])
    'makers'
    """
    words = list(islice(known, MOST_COMPARED))
    by_case = {word.casefold(): word for word in words}
    found = get_close_matches(text.casefold(), by_case, n=1, cutoff=0.6)
    return by_case[found[0]] if found else None


def nearest(text: str, known: Iterable[str]) -> str:
    """A clause that names the nearest known word, to follow a sentence; empty when none is near."""
    word = nearest_of(text, known)
    return f" (nearest: {word})" if word else ""

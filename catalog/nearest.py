"""The known word nearest to one that is not known, so that an error can say what would be right. Pure."""

from collections.abc import Iterable

from rapidfuzz import process

SHOWN = 60


def nearest(text: str, known: Iterable[str], at_least: float = 0) -> str | None:
    """The known word most like `text` whatever the case, the first in order where several are; None without any.

    >>> nearest("chasis", ["chassis", "body", "engine"])
    'chassis'
    """
    found = process.extractOne(text, sorted(set(known)), processor=str.casefold, score_cutoff=at_least)
    return found[0] if found else None


def shortened(text: str) -> str:
    """A text as a message repeats it: long ones are cut."""
    return text if len(text) <= SHOWN else text[: SHOWN - 3] + "..."


def unknown(what: str, text: str, known: Iterable[str]) -> str:
    """The sentence on a word that is not known, with the nearest that is.

    >>> unknown("chassis", "QN5", ["QN4", "TT1"])
    "chassis 'QN5' is not known; the nearest is 'QN4'"
    """
    word = nearest(text, known)
    near = f"; the nearest is '{word}'" if word is not None else ""
    return f"{what} '{shortened(text)}' is not known{near}"


def nearest_clause(text: str, known: Iterable[str]) -> str:
    """A clause that names the nearest known word, to follow a sentence; empty where nothing is known.

    >>> nearest_clause("makres", ["makers", "axles"])
    ' (nearest: makers)'
    """
    word = nearest(text, known)
    return f" (nearest: {word})" if word is not None else ""

"""Every code and value that a question may use. Pure; `fitment.facts.vocabulary` reads it."""

from collections.abc import Collection
from dataclasses import dataclass

from rapidfuzz import process

DUTIES = ("road", "road_and_track", "competition")
ENDS = ("front", "rear")


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """What the catalogue knows, by the parameter it is used in.

    `values` has the values of the attributes of a car; `places` the locations by end; `parts` all codes of
    parts and `public_parts` those that the public may know of.
    """

    values: dict[str, frozenset[str]]
    options: frozenset[str]
    components: frozenset[str]
    places: dict[str, frozenset[str]]
    parts: frozenset[str]
    public_parts: frozenset[str]
    technologies: frozenset[str]
    tools: frozenset[str]

    def locations(self) -> frozenset[str]:
        return frozenset().union(*self.places.values())


def nearest(value: str, known: Collection[str]) -> str | None:
    """The known text most like the value, or None where nothing is like it.

    >>> nearest("saloonn", ["saloon", "estate"])
    'saloon'
    """
    found = process.extractOne(value, sorted(known), processor=str.casefold, score_cutoff=60)
    return found[0] if found else None


def unknown(what: str, value: str, known: Collection[str]) -> str:
    """The sentence for a value that is not known: what is wrong, and what would be right."""
    shown = value if len(value) <= 60 else value[:57] + "..."
    near = nearest(value, known)
    if near is not None:
        return f"{what} '{shown}' is not known; the nearest is '{near}'"
    few = sorted(known)
    if 0 < len(few) <= 8:
        return f"{what} '{shown}' is not known; use one of {', '.join(few)}"
    return f"{what} '{shown}' is not known"

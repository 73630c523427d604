"""Every code and value that a question may use. Pure; `fitment.readers.vocabulary` reads it."""

from dataclasses import dataclass


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

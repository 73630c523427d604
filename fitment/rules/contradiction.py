"""The fewest stated facts that no car meets together. Pure."""

from dataclasses import replace
from functools import cache
from itertools import combinations

from fitment.description import TEXT_ATTRIBUTES, Description
from fitment.errors import TooMuchWork

from .facts import Facts, Variant
from .possible_cars import room_of
from .reading import OptionBits

MOST_SETS = 200_000


def fewest_contradicting(facts: Facts, description: Description) -> list[str]:
    """The names of the fewest stated facts that no variant meets together, the first such set in order.

    `facts` must have every variant of the catalogue, and the joints of their axles at the places whose component
    is stated. Raises TooMuchWork.
    """
    names = description.names()
    bits = OptionBits(facts.options)
    simple = [name for name in names if name in TEXT_ATTRIBUTES]
    cars = _most_agreeable_first(facts.variants, description)
    tried = 0

    @cache
    def possible(at: int, rest: tuple[str, ...]) -> bool:
        variant = cars[at][0]
        return room_of(facts, bits, variant, only(description, rest)) is not None

    for size in range(len(names) + 1):
        for several in combinations(names, size):
            tried += 1
            if tried > MOST_SETS:
                raise TooMuchWork
            stated = frozenset(several)
            rest = tuple(name for name in several if name not in simple)
            if not any(broken.isdisjoint(stated) and possible(at, rest) for at, (_, broken) in enumerate(cars)):
                return list(several)
    return []


def only(description: Description, names: tuple[str, ...]) -> Description:
    """The description with nothing but these facts."""
    kept = {name: value for name, value in description.texts().items() if name in names}
    cleared = {name: kept.get(name) for name in TEXT_ATTRIBUTES}
    return replace(
        description,
        **cleared,
        built=description.built if "built" in names else (),
        registered=description.registered if "registered" in names else (),
        model_years=description.model_years if "model_year" in names else (),
        options=tuple(one for one in description.options if f"option.{one[0]}" in names),
        components=tuple(one for one in description.components if f"component.{one[0][0]}.{one[0][1]}" in names),
    )


def _most_agreeable_first(
    variants: tuple[Variant, ...], description: Description
) -> list[tuple[Variant, frozenset[str]]]:
    """The variants with the stated attributes they break, those that break least first."""
    texts = description.texts()
    cars = [
        (
            variant,
            frozenset(
                name
                for name, value in texts.items()
                if (variant.code if name == "variant" else getattr(variant, name)) != value
            ),
        )
        for variant in variants
    ]
    return sorted(cars, key=lambda car: len(car[1]))

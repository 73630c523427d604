"""The fewest stated facts that no car meets together. Pure."""

from dataclasses import replace
from functools import cache
from itertools import combinations

from catalog.codes import CarAttribute
from fitment.domain.description import Description
from fitment.domain.facts import Facts, Variant
from fitment.errors import TooMuchWork
from fitment.rules.derivations import Derivations
from fitment.rules.possible_cars import StatedFacts, variant_region

MOST_COMPARED = 2_000_000


def fewest_contradicting(facts: Facts, description: Description) -> list[str]:
    """The names of the fewest stated facts that no variant meets together, the first such set in order.

    `facts` must have every variant of the catalogue, and the joints of their axles at the places whose component
    is stated. Raises TooMuchWork.
    """
    names = description.names()
    derivations = Derivations(facts)
    others = tuple(name for name in names if name not in CarAttribute.values)
    cars = _told_apart(facts.variants, description)

    @cache
    def stated_of(rest: tuple[str, ...]) -> StatedFacts:
        return StatedFacts.of(only(description, rest))

    @cache
    def possible(at: int, rest: tuple[str, ...]) -> bool:
        """Whether a car meets days, options and components, as far as they are in `rest`."""
        return variant_region(facts, derivations, cars[at][0], stated_of(rest)) is not None

    # Cars that meet all of the rest are told by the texts they break alone, and stand for all that break more.
    free = {broken for at, (_, broken) in enumerate(cars) if possible(at, others)}
    free = {broken for broken in free if not any(other < broken for other in free)}
    bound = [(at, broken) for at, (_, broken) in enumerate(cars) if not any(other <= broken for other in free)]
    compared = 0
    for size in range(len(names) + 1):
        for several in combinations(names, size):
            compared += 1 + len(free) + len(bound)
            if compared > MOST_COMPARED:
                raise TooMuchWork
            stated = frozenset(several)
            if any(broken.isdisjoint(stated) for broken in free):
                continue
            rest = tuple(name for name in several if name in others)
            if not any(broken.isdisjoint(stated) and possible(at, rest) for at, broken in bound):
                return list(several)
    return []


def only(description: Description, names: tuple[str, ...]) -> Description:
    """The description with nothing but these facts."""
    kept = {name: value for name, value in description.texts().items() if name in names}
    cleared = {name: kept.get(name) for name in CarAttribute}
    return replace(
        description,
        **cleared,
        built=description.built if "built" in names else (),
        registered=description.registered if "registered" in names else (),
        model_years=description.model_years if "model_year" in names else (),
        options=tuple(one for one in description.options if f"option.{one[0]}" in names),
        components=tuple(one for one in description.components if f"component.{one[0][0]}.{one[0][1]}" in names),
    )


def _told_apart(variants: tuple[Variant, ...], description: Description) -> list[tuple[Variant, frozenset[str]]]:
    """Variants with the stated texts they break, those that break least first; of equals only the first."""
    texts = description.texts()
    found: dict[tuple[object, ...], tuple[Variant, frozenset[str]]] = {}
    for variant in variants:
        broken = frozenset(name for name, value in texts.items() if variant.value(name) != value)
        # Conditions of joints may name the variant; days and options are met by what is in the key alone.
        code = variant.code if description.components else ""
        key = (broken, variant.built_from, variant.built_to, variant.options, variant.standard, code)
        found.setdefault(key, (variant, broken))
    return sorted(found.values(), key=lambda car: len(car[1]))

"""Which smallest sets of equipment would open a goal that has no plan."""

from collections.abc import Iterable

from .access import Site, usable
from .procedures import Goal, Groups

Label = frozenset[frozenset[str]]
FREE: Label = frozenset({frozenset()})
NEVER: Label = frozenset()
# sets kept of one operation: far above what a workshop's dozen pieces give, so that bad data cannot run away
MOST = 400


def least_sets(sets: Iterable[frozenset[str]]) -> Label:
    """Of many sets those that contain no other; of very many the smallest.

    >>> sorted(sorted(s) for s in least_sets([frozenset("ab"), frozenset("a"), frozenset("bc")]))
    [['a'], ['b', 'c']]
    """
    kept: list[frozenset[str]] = []
    for candidate in sorted(set(sets), key=lambda s: (len(s), sorted(s))):
        if not any(smaller <= candidate for smaller in kept):
            kept.append(candidate)
            if len(kept) == MOST:
                break
    return frozenset(kept)


def both(left: Label, right: Label) -> Label:
    """What meets two things at once."""
    if left == FREE:
        return right
    if right == FREE:
        return left
    return least_sets(a | b for a in left for b in right)


def opening_sets(site: Site, goal: Goal) -> list[list[str]]:
    """The smallest sets of further equipment with each of which the goal, taken alone, has a plan.

    None contains another. Empty when no equipment would do. The method is that of minimal environments: every
    operation carries the least sets with which it can be reached; rings add nothing to a fixed point from below.

    References: de Kleer (1986), An assumption-based TMS, Artificial Intelligence 28 (from memory).
    """
    axle = site.car.axles[goal.end]
    place = site.workshop.axles[axle].places.get(goal.location)
    if place is None:
        return []
    labels = _labels(site)
    found: set[frozenset[str]] = set()
    for way in place.ways:
        label = FREE
        if goal.part.bench is not None and not way.piece_out:
            label = _needed(goal.part.bench.equipment, site.equipment)
        for group in site.groups(axle, way.operations):
            label = both(label, _any(labels.get(name, NEVER) for name in group))
        found |= label
    return sorted((sorted(codes) for codes in least_sets(found)), key=lambda codes: (len(codes), codes))


def _any(labels: Iterable[Label]) -> Label:
    return least_sets(codes for label in labels for codes in label)


def _needed(groups: Groups, equipment: frozenset[str]) -> Label:
    label = FREE
    for group in groups:
        if not usable((group,), equipment):
            label = both(label, least_sets(frozenset({code}) for code in group))
    return label


def _labels(site: Site) -> dict[str, Label]:
    own = {name: _needed(site.operations[name].equipment, site.equipment) for name in site.lasting}
    labels = dict.fromkeys(own, NEVER)
    moved = True
    while moved:
        moved = False
        for name, label in own.items():
            for group in site.needs[name]:
                label = both(label, _any(labels.get(other, NEVER) for other in group))
            if label != labels[name]:
                labels[name], moved = label, True
    return labels

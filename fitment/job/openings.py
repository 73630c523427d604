"""Which smallest sets of equipment would open a goal that has no plan."""

from collections.abc import Iterable
from dataclasses import replace
from itertools import combinations

from fitment.domain.procedures import Goal, Groups
from fitment.job.access import Site
from fitment.job.operation_graph import usable

Label = frozenset[frozenset[str]]
FREE: Label = frozenset({frozenset()})
NEVER: Label = frozenset()
# sets kept of one operation: far above what a workshop's dozen pieces give, so that bad data cannot run away
MOST = 400
# sets planned with where those needed are not enough
MOST_TRIED = 3000


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
    Each set is then planned with. Rarely one fails, since a goal rests on every available member that a need names,
    also on one that itself rests on work elsewhere: then larger sets are tried, by size.

    References: de Kleer (1986), An assumption-based TMS, Artificial Intelligence 28 (from memory).
    """
    needed = _environments(site, goal)
    found = {codes for codes in needed if _opens(site, goal, codes)}
    if found != needed:
        found = set(_larger(site, goal, needed))
    return sorted((sorted(codes) for codes in found), key=lambda codes: (len(codes), codes))


def _opens(site: Site, goal: Goal, codes: frozenset[str]) -> bool:
    return replace(site, equipment=site.equipment | codes).least([goal]) is not None


def _larger(site: Site, goal: Goal, needed: Label) -> list[frozenset[str]]:
    """Every smallest set that opens the goal; each contains one of those needed."""
    named = {code for o in site.operations.values() for group in o.equipment for code in group}
    if goal.part.bench is not None:
        named |= {code for group in goal.part.bench.equipment for code in group}
    missing = sorted(named - site.equipment)
    found: list[frozenset[str]] = []
    tried = 0
    for count in range(len(missing) + 1):
        for chosen in combinations(missing, count):
            codes = frozenset(chosen)
            if any(smaller <= codes for smaller in found) or not any(least <= codes for least in needed):
                continue
            if _opens(site, goal, codes):
                found.append(codes)
            tried += 1
            if tried == MOST_TRIED:
                return found
    return found


def _environments(site: Site, goal: Goal) -> Label:
    axle = site.car.axles[goal.end]
    place = site.workshop.axles[axle].places.get(goal.location)
    if place is None:
        return NEVER
    labels = _labels(site)
    found: set[frozenset[str]] = set()
    for way in place.ways:
        label = FREE
        if goal.part.bench is not None and not way.piece_out:
            label = _needed(goal.part.bench.equipment, site.equipment)
        for group in site.groups(axle, way.operations):
            label = both(label, _any(labels.get(name, NEVER) for name in group))
        found |= label
    return least_sets(found)


def _any(labels: Iterable[Label]) -> Label:
    return least_sets(codes for label in labels for codes in label)


def _needed(groups: Groups, equipment: frozenset[str]) -> Label:
    label = FREE
    for group in groups:
        if not usable((group,), equipment):
            label = both(label, least_sets(frozenset({code}) for code in group))
    return label


def _labels(site: Site) -> dict[str, Label]:
    own = {name: _needed(site.operations[name].equipment, site.equipment) for name in site.ground.lasting}
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

"""Which smallest sets of equipment would open a goal that has no plan."""

from collections.abc import Iterable
from dataclasses import replace
from itertools import combinations

from fitment.domain.procedures import Goal, Groups, are_at_hand
from fitment.job.access_plan import JobSetup

EquipmentSets = frozenset[frozenset[str]]
NOTHING_NEEDED: EquipmentSets = frozenset({frozenset()})
UNREACHABLE: EquipmentSets = frozenset()
# sets kept of one operation: far above what a workshop's dozen pieces give, so that bad data cannot run away
MOST_SETS = 400
# sets planned with where those needed are not enough
MOST_TRIED = 3000


def minimal_sets(sets: Iterable[frozenset[str]]) -> EquipmentSets:
    """Of many sets those that contain no other; of very many the smallest.

    >>> sorted(sorted(s) for s in minimal_sets([frozenset("ab"), frozenset("a"), frozenset("bc")]))
    [['a'], ['b', 'c']]
    """
    kept: list[frozenset[str]] = []
    for candidate in sorted(set(sets), key=lambda s: (len(s), sorted(s))):
        if not any(smaller <= candidate for smaller in kept):
            kept.append(candidate)
            if len(kept) == MOST_SETS:
                break
    return frozenset(kept)


def sufficient_equipment(setup: JobSetup, goal: Goal) -> list[list[str]]:
    """The smallest sets of further equipment with each of which the goal, taken alone, has a plan.

    None contains another. Empty when no equipment would do. The method is that of minimal environments: every
    operation carries the smallest sets with which it can be reached; rings add nothing to a fixed point from below.
    Each set is then planned with. Rarely one fails, since a goal rests on every available member that a need names,
    also on one that itself rests on work elsewhere: then larger sets are tried, by size.

    References: de Kleer (1986), An assumption-based TMS, Artificial Intelligence 28 (from memory).
    """
    needed = _environments(setup, goal)
    found = {codes for codes in needed if _opens(setup, goal, codes)}
    if found != needed:
        found = set(_larger(setup, goal, needed))
    return sorted((sorted(codes) for codes in found), key=lambda codes: (len(codes), codes))


def _opens(setup: JobSetup, goal: Goal, codes: frozenset[str]) -> bool:
    return replace(setup, equipment=setup.equipment | codes).min_cost_plan([goal]) is not None


def _larger(setup: JobSetup, goal: Goal, needed: EquipmentSets) -> list[frozenset[str]]:
    """Every smallest set that opens the goal; each contains one of those needed."""
    written = [operation.equipment for operation in setup.operations.values()]
    if goal.part.bench is not None:
        written.append(goal.part.bench.equipment)
    missing = sorted({code for groups in written for group in groups for code in group} - setup.equipment)
    found: list[frozenset[str]] = []
    tried = 0
    for count in range(len(missing) + 1):
        for codes in map(frozenset, combinations(missing, count)):
            if any(smaller <= codes for smaller in found) or not any(least <= codes for least in needed):
                continue
            if _opens(setup, goal, codes):
                found.append(codes)
            tried += 1
            if tried == MOST_TRIED:
                return found
    return found


def _environments(setup: JobSetup, goal: Goal) -> EquipmentSets:
    axle = setup.car.axles[goal.end]
    location = setup.workshop.axles[axle].locations.get(goal.location)
    if location is None:
        return UNREACHABLE
    reached_with = _reached_with(setup)
    found: set[frozenset[str]] = set()
    for way in location.ways:
        bench = goal.part.bench.equipment if goal.part.bench is not None and not way.piece_out else ()
        sets = _needed(bench, setup.equipment)
        for group in setup.graph.groups(axle, way.operations):
            sets = _both(sets, _either(reached_with.get(name, UNREACHABLE) for name in group))
        found |= sets
    return minimal_sets(found)


def _both(left: EquipmentSets, right: EquipmentSets) -> EquipmentSets:
    """What meets two things at once."""
    if left == NOTHING_NEEDED:
        return right
    if right == NOTHING_NEEDED:
        return left
    return minimal_sets(a | b for a in left for b in right)


def _either(alternatives: Iterable[EquipmentSets]) -> EquipmentSets:
    return minimal_sets(codes for sets in alternatives for codes in sets)


def _needed(groups: Groups, equipment: frozenset[str]) -> EquipmentSets:
    sets = NOTHING_NEEDED
    for group in groups:
        if not are_at_hand((group,), equipment):
            sets = _both(sets, minimal_sets(frozenset({code}) for code in group))
    return sets


def _reached_with(setup: JobSetup) -> dict[str, EquipmentSets]:
    """By operation the smallest sets with which it can be reached: the least fixed point."""
    own = {name: _needed(setup.operations[name].equipment, setup.equipment) for name in setup.graph.plannable}
    reached = dict.fromkeys(own, UNREACHABLE)
    moved = True
    while moved:
        moved = False
        for name, sets in own.items():
            for group in setup.graph.needs[name]:
                sets = _both(sets, _either(reached.get(other, UNREACHABLE) for other in group))
            if sets != reached[name]:
                reached[name], moved = sets, True
    return reached

"""Coverage counted against an enumeration of every possible car, day by day, that shares nothing with it."""

from collections import defaultdict
from fractions import Fraction
from random import Random

import pytest

from fitment.coverage.counting import CellCount, CellKey, component_cars, count_cells
from fitment.domain.description import Description
from fitment.domain.facts import Facts
from tests.fitment.rules import oracle, small_catalogues

SEEDS = range(60)


def recounted(facts: Facts) -> tuple[dict[CellKey, dict], dict]:
    """Cars, covered cars, weakest basis and what speaks against or for others, from every world."""
    cells: dict[CellKey, dict] = defaultdict(
        lambda: {"cars": 0, "covered": 0, "uncovered": False, "basis": [], "platforms": defaultdict(lambda: [0, 0]),
                 "rejected": set(), "failing": set(), "proposed": set(), "by": set(), "waiting": set()}
    )  # fmt: skip
    unknown: dict = defaultdict(Fraction)
    for world in oracle.worlds(facts, Description()):
        variant = world.variant
        for place, component in world.components:
            axle = oracle.axle_of(variant, place[0])
            if not facts.axles[axle].locations[place[1]]:
                continue
            platform = (variant.maker, variant.chassis)
            if component in (None, oracle.CONFLICT):
                unknown[platform, *place] += world.weight
                continue
            cell = cells[CellKey(axle, place[1], component)]
            cell["cars"] += world.weight
            cell["platforms"][platform][0] += world.weight
            bases = []
            for part in facts.parts.values():
                fitting = [
                    revision
                    for revision in oracle.visible(part)
                    if oracle.reason(facts, revision, place, world) == "approved"
                ]
                if fitting:
                    bases.append(oracle.basis(facts, part, fitting[0], place, world))
                    cell["by"].add((part.code, fitting[0].letter))
            if bases:
                cell["covered"] += world.weight
                cell["platforms"][platform][1] += world.weight
                cell["basis"].append(min(bases, key=oracle.BASES.index))
            else:
                cell["uncovered"] = True
                cell["waiting"].add((*platform, variant.code))
                for part in facts.parts.values():
                    _speak(facts, cell, part, place, world)
    return cells, unknown


def _speak(facts, cell, part, place, world):
    for revision in part.revisions:
        seen = revision.status == "prototype" or (revision.status == "released" and not revision.held)
        if not seen:
            continue
        key = (part.code, revision.letter)
        words = {one.decision for one in oracle.true_decisions(facts, revision, place, world)}
        if "rejected" in words:
            cell["rejected"].add(key)
        if oracle.failing(facts, revision, place, world, ("approved",)):
            cell["failing"].add(key)
        if "proposed" in words or ("approved" in words and revision.status == "prototype"):
            cell["proposed"].add(key)


def as_recounted(count: CellCount) -> dict:
    return {
        "cars": count.whole.cars,
        "covered": count.whole.covered,
        "uncovered": count.whole.some_uncovered,
        "basis": count.basis,
        "platforms": {key: [share.cars, share.covered] for key, share in count.platforms.items()},
        "rejected": count.rejected,
        "failing": count.failing,
        "proposed": count.proposed,
        "by": count.by,
        "waiting": count.waiting,
    }


@pytest.mark.parametrize("seed", SEEDS)
def test_every_car_counts_once(seed):
    facts = small_catalogues.catalogue(Random(seed))
    expected, unknown = recounted(facts)
    counts = count_cells(facts)
    assert counts.cells.keys() == expected.keys()
    for key, count in counts.cells.items():
        want = expected[key]
        want["basis"] = max(want["basis"], key=oracle.BASES.index, default=None)
        assert as_recounted(count) == want, key
    assert counts.unknown == unknown


def test_the_catalogues_are_worth_recounting():
    """Each thing that is counted happens in some of them."""
    seen: dict[str, int] = defaultdict(int)
    for seed in SEEDS:
        for count in count_cells(small_catalogues.catalogue(Random(seed))).cells.values():
            partly = 0 < count.whole.covered < count.whole.cars
            found = {"partly": partly, "rejected": count.rejected, "failing": count.failing,
                     "proposed": count.proposed, "basis": count.basis}  # fmt: skip
            for what, value in found.items():
                seen[what] += bool(value)
    assert min(seen.values()) > 5, seen


@pytest.mark.parametrize("seed", range(10))
def test_cars_of_each_component(seed):
    facts = small_catalogues.catalogue(Random(seed))
    for axle in facts.axles.values():
        expected: dict = defaultdict(Fraction)
        for world in oracle.worlds(facts, Description()):
            if oracle.axle_of(world.variant, axle.end) == axle.code:
                for (end, location), component in world.components:
                    if end == axle.end and component not in (None, oracle.CONFLICT):
                        expected[location, component] += world.weight
        found = component_cars(facts).get(axle.code, {})
        flat = {(location, code): cars for location, by in found.items() for code, cars in by.items()}
        assert flat == expected

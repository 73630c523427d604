"""Small procedures for tests, built in a few words."""

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any

from fitment.domain.procedures import (
    AxleLocation,
    AxleProcedures,
    Bench,
    Equipment,
    Fastener,
    Goal,
    Groups,
    Hazard,
    JobCar,
    Operation,
    PartWork,
    Way,
    Workshop,
)
from fitment.job.access_plan import JobSetup, Plan, opened_ends


def groups(text: str) -> Groups:
    return tuple(tuple(code.strip() for code in group.split("|")) for group in text.split(";") if group.strip())


def operation(code: str, minutes: float = 10, *, axle: str = "F1", **facts: Any) -> Operation:
    """An operation; needs and equipment as texts, entails and hazards as lists in a text."""
    for name in ("needs", "equipment"):
        facts[name] = groups(facts.get(name, ""))
    for name in ("entails", "hazards", "consumables"):
        facts[name] = tuple(facts.get(name, "").split())
    return Operation(axle=axle, code=code, remove=Fraction(str(minutes)), **facts)


def way(operations: str, code: str = "way", *, piece_out: bool = True) -> Way:
    return Way(code, groups(operations), piece_out)


def bolt(code: str = "f1", **facts: Any) -> Fastener:
    for name in ("torque_nm", "angle_deg"):
        if name in facts:
            facts[name] = Decimal(str(facts[name]))
    return Fastener(code, **facts)


def bench(minutes: float, *, skill: int = 1, equipment: str = "") -> Bench:
    return Bench(Fraction(str(minutes)), skill, groups(equipment))


def workshop(
    *operations: Operation,
    places: Mapping[str, AxleLocation],
    equipment: Mapping[str, Equipment] | None = None,
    hazards: Mapping[str, Hazard] | None = None,
) -> Workshop:
    """Axles F1 and R1; a place is written `joint` (of F1) or `R1/joint`."""
    axles = {"F1": AxleProcedures("F1", "front", {}, {}), "R1": AxleProcedures("R1", "rear", {}, {})}
    for one in operations:
        axles[one.axle].operations[one.code] = one  # type: ignore[index]
    for name, place in places.items():
        axle, _, location = name.rpartition("/")
        axles[axle or "F1"].locations[location] = place  # type: ignore[index]
    return Workshop(axles, equipment or {}, hazards or {})


def goal(location: str = "joint", *, part: str = "P", end: str = "front", **facts: Any) -> Goal:
    return Goal(PartWork(part, facts.pop("revision", "A"), **facts), end, location)


CAR = JobCar("V1", {"front": "F1", "rear": "R1"})


def site(facts: Workshop, *goals: Goal, sides: int = 1, equipment: str | None = None, car: JobCar = CAR) -> JobSetup:
    """A site with all equipment, or with the pieces named."""
    ends = opened_ends(car, facts, goals)
    assert ends is not None
    pieces = facts.pieces() if equipment is None else frozenset(equipment.split())
    return JobSetup(facts, car, ends, sides, pieces)


def planned(facts: Workshop, *goals: Goal, **options: Any) -> tuple[JobSetup, Plan]:
    place = site(facts, *goals, **options)
    plan = place.min_cost_plan(goals)
    assert plan is not None
    return place, plan

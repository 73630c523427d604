"""Random procedures for property tests: two axles, alternatives, rings, after-work, absences, equipment."""

import random
from fractions import Fraction

from fitment.domain.procedures import (
    AxleLocation,
    AxleProcedures,
    Bench,
    Goal,
    Groups,
    JobCar,
    Operation,
    PartWork,
    Way,
    Workshop,
)
from fitment.domain.procedures import Equipment as Piece
from fitment.job.access_plan import JobSetup, opened_ends

TOOLS = ("beam", "clamps", "lift", "press", "puller", "stands")
MINUTES = (0, 2, 5, 5, 8, 10, 10, 15, 20, 30)
CAR_STEPS = 3


def _groups(rng: random.Random, codes: list[str], chance: float, most: int = 3) -> Groups:
    if not codes or rng.random() > chance:
        return ()
    count = rng.randint(1, most)
    return tuple(tuple(rng.sample(codes, min(len(codes), rng.randint(1, 4)))) for _ in range(count))


def _operation(rng: random.Random, axle: str, at: int, codes: list[str], car_codes: list[str]) -> Operation:
    """Needs mostly earlier steps; now and then any, so that rings come about."""
    code, car = codes[at], at < CAR_STEPS
    pool = car_codes[:at] if car else codes[:at] if rng.random() < 0.85 else [c for c in codes if c != code]
    conditional = rng.random() < 0.2
    others = [c for c in (car_codes if car else codes) if c != code]
    entails = tuple(rng.sample(others, 1)) if rng.random() < 0.12 else ()
    return Operation(
        axle=axle,
        code=code,
        remove=Fraction(rng.choice(MINUTES)),
        refit=Fraction(rng.choice(MINUTES), 2),
        zone="car" if car else "",
        per_side=not car and rng.random() < 0.4,
        needs=_groups(rng, pool, 0.75),
        entails=entails,
        equipment=_groups(rng, list(TOOLS), 0.2, most=2),
        skill=rng.randint(1, 5),
        alignment=rng.random() < 0.1,
        conditions="body = saloon" if conditional else "",
        if_absent=rng.choice(("open", "blocked")) if conditional else "",
    )


def random_workshop(rng: random.Random, size: int) -> Workshop:
    """Two axles of `size` operations each; the first three are `car` steps, equal on both."""
    axles = {}
    car_codes = [f"car{at}" for at in range(CAR_STEPS)]
    shared = [_operation(rng, "F1", at, car_codes, car_codes) for at in range(CAR_STEPS)]
    for name, end in (("F1", "front"), ("R1", "rear")):
        codes = [*car_codes, *(f"s{at:02d}" for at in range(CAR_STEPS, size))]
        rng.shuffle(codes[CAR_STEPS:])
        operations = {}
        for at, code in enumerate(codes):
            if at < CAR_STEPS:
                one = shared[at]
                operations[code] = Operation(
                    axle=name, code=code, remove=one.remove, refit=one.refit, zone="car", needs=one.needs,
                    entails=one.entails, equipment=one.equipment, skill=one.skill, alignment=one.alignment,
                    conditions=one.conditions, if_absent=one.if_absent,
                )  # fmt: skip
            else:
                operations[code] = _operation(rng, name, at, codes, car_codes)
        places = {}
        for number in range(3):
            ways = tuple(
                Way(f"way{way}", _groups(rng, codes, 1.0, most=2), rng.random() < 0.5)
                for way in range(rng.randint(1, 3))
            )
            places[f"joint{number}"] = AxleLocation(rng.randint(1, 2), rng.random() < 0.2, ways)
        axles[name] = AxleProcedures(name, end, operations, places)
    return Workshop(axles, {code: Piece(code, home=rng.random() < 0.5) for code in TOOLS})


def random_site(rng: random.Random, size: int, *, all_equipment: bool = False) -> tuple[JobSetup, list[Goal]]:
    """A car with some operations missing, some equipment, and one to three goals."""
    workshop = random_workshop(rng, size)
    absent = {
        operation.name
        for axle in workshop.axles.values()
        for operation in axle.operations.values()
        if operation.conditions and operation.zone != "car" and rng.random() < 0.6
    }
    if rng.random() < 0.3:
        absent |= {f"{axle}/{o.code}" for axle in workshop.axles
                   for o in workshop.axles["F1"].operations.values() if o.conditions and o.zone == "car"}  # fmt: skip
    car = JobCar("V1", {"front": "F1", "rear": "R1"}, frozenset(absent))
    places = [(end, f"joint{number}") for end in ("front", "rear") for number in range(3)]
    goals = []
    for number, (end, location) in enumerate(rng.sample(places, rng.randint(1, 3))):
        bench = Bench(Fraction(rng.choice(MINUTES)), rng.randint(1, 3), _groups(rng, list(TOOLS), 0.5, most=1))
        goals.append(Goal(PartWork(f"P{number}", "A", bench=bench if rng.random() < 0.7 else None), end, location))
    ends = opened_ends(car, workshop, goals)
    assert ends is not None
    equipment = frozenset(TOOLS if all_equipment else rng.sample(TOOLS, rng.randint(1, len(TOOLS))))
    return JobSetup(workshop, car, ends, rng.choice((1, 2)), equipment), goals

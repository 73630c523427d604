"""The least plan that opens a car for its goals: AND/OR graph of operations, equipment, after-work, work elsewhere.

Definition (the plan): a set of operations that, for every goal, meets all groups of one way, meets every need of each
member, contains what each member entails, and can be put in an order. Least expected minutes first (bench work
included), then fewest operations, then the sorted names `axle/code`.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from catalog.codes import End
from fitment.domain.procedures import Bench, Car, Goal, Groups, Operation, Way, Workshop
from fitment.job.min_cost_set import NODE_LIMIT
from fitment.job.operation_graph import Ground, ground_of, usable
from fitment.job.paths import Target, least_path, rests_on, ways_to


@dataclass(frozen=True, slots=True)
class BenchWork:
    """Bench work of one part of a plan; `minutes` is nought where it is done elsewhere."""

    part: str
    pieces: int
    minutes: Fraction
    elsewhere: bool
    bench: Bench


@dataclass(frozen=True, slots=True)
class Plan:
    """A least plan. Names are `axle/code`; minutes are exact and leave out all work elsewhere.

    operations: the way in, in removal order. after: after-work, in order. ways: by goal name. `minutes` is way in,
    refit and bench, `after_minutes` the rest, `cost` both.
    """

    goals: tuple[Goal, ...]
    sides: int
    equipment: frozenset[str]
    operations: tuple[str, ...]
    after: tuple[str, ...]
    elsewhere: frozenset[str]
    ways: dict[str, str]
    bench: tuple[BenchWork, ...]
    minutes: Fraction
    after_minutes: Fraction
    proven: bool
    branches: int

    @property
    def cost(self) -> Fraction:
        return self.minutes + self.after_minutes

    @property
    def members(self) -> frozenset[str]:
        return frozenset(self.operations) | frozenset(self.after)

    @property
    def counted(self) -> tuple[str, ...]:
        """The operations done here, way in first."""
        return tuple(name for name in (*self.operations, *self.after) if name not in self.elsewhere)


@dataclass(frozen=True)
class Site:
    """One car with some ends opened, the sides done and the equipment at hand.

    `barred` are operations that could be done here and shall not be (the home plan bars by grade).
    """

    workshop: Workshop
    car: Car
    ends: tuple[str, ...]
    sides: int
    equipment: frozenset[str]
    barred: frozenset[str] = frozenset()

    @cached_property
    def ground(self) -> Ground:
        axles = tuple(self.car.axles[end] for end in self.ends)
        return ground_of(self.workshop, axles, self.car.absent, self.sides, self.equipment)

    @property
    def operations(self) -> Mapping[str, Operation]:
        """The operations that are there, by name."""
        return self.ground.operations

    @property
    def missing(self) -> frozenset[str]:
        """The operations of the opened axles that this car does not have."""
        return self.ground.missing

    @property
    def available(self) -> frozenset[str]:
        """The operations whose equipment is at hand."""
        return self.ground.available

    @property
    def needs(self) -> Mapping[str, list[frozenset[str]]]:
        """By name the groups of what is there; met groups are left out."""
        return self.ground.needs

    def groups(self, axle: str, groups: Groups) -> list[frozenset[str]]:
        """Groups as names of what is there; a group that names an open absence is met and left out."""
        return self.ground.groups(axle, groups)

    def ways(self, goal: Goal) -> list[Way]:
        """The ways of a goal's place that its bench work leaves, by code."""
        return [way for way, _ in ways_to(self.ground, self._target(goal))]

    def _target(self, goal: Goal) -> Target:
        bench = goal.part.bench
        here = bench is None or usable(bench.equipment, self.equipment)
        return Target(self.car.axles[goal.end], goal.location, here)

    def least(self, goals: Sequence[Goal], node_limit: int = NODE_LIMIT) -> Plan | None:
        """The least plan for goals at the opened ends, or None."""
        ground = self.ground
        barred = ground.mask(self.barred & ground.operations.keys())
        targets = tuple(self._target(goal) for goal in goals)
        path = least_path(ground, targets, barred, node_limit)
        if path is None:
            return None
        bench = self._bench(goals)
        return Plan(
            goals=tuple(goals),
            sides=self.sides,
            equipment=self.equipment,
            operations=path.operations,
            after=path.after,
            elsewhere=path.elsewhere,
            ways={goal.name: way for goal, way in zip(goals, path.ways, strict=True)},
            bench=bench,
            minutes=sum((work.minutes for work in bench), path.minutes),
            after_minutes=path.after_minutes,
            proven=path.proven,
            branches=path.branches,
        )

    def rests_on(self, goal: Goal, members: frozenset[str]) -> frozenset[str]:
        """The members of a plan that one goal rests on."""
        ground = self.ground
        return ground.named(rests_on(ground, [self._target(goal)], ground.mask(members))[1])

    def _bench(self, goals: Sequence[Goal]) -> tuple[BenchWork, ...]:
        pieces: dict[str, int] = {}
        benches: dict[str, Bench] = {}
        for goal in goals:
            if goal.part.bench is None:
                continue
            place = self.workshop.axles[self.car.axles[goal.end]].places[goal.location]
            pieces[goal.part.code] = pieces.get(goal.part.code, 0) + place.pieces_of(self.sides)
            benches[goal.part.code] = goal.part.bench
        rows = []
        for part, count in pieces.items():
            bench = benches[part]
            here = usable(bench.equipment, self.equipment)
            rows.append(BenchWork(part, count, bench.expected * count if here else Fraction(0), not here, bench))
        return tuple(rows)


def opened(car: Car, workshop: Workshop, goals: Iterable[Goal]) -> tuple[str, ...] | None:
    """The ends with a goal, front first; None when the car has no recorded axle there."""
    asked = {goal.end for goal in goals}
    ends = tuple(end for end in End if end in asked)
    return ends if all(car.axles.get(end) in workshop.axles for end in ends) else None

"""The plan of least cost that opens a car for its goals: equipment, after-work, work elsewhere, several cars.

Definition (the plan): a set of operations that, for every goal, meets all groups of one way, meets every need of each
member, contains what each member entails, and can be put in an order. Least expected minutes first (bench work
included), then fewest operations, then the sorted names `axle/code`.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property, lru_cache
from types import MappingProxyType

from catalog.codes import End
from fitment.answers.job import BenchWork
from fitment.domain.procedures import Bench, Goal, JobCar, Operation, Way, Workshop, are_at_hand
from fitment.job.min_cost_set import NODE_LIMIT, Masks, bits, min_cost_set, union, well_founded
from fitment.job.operation_graph import OperationGraph, operation_graph


@dataclass(frozen=True, slots=True)
class PlaceTarget:
    """A place to reach. in_place: ways that leave the piece in the car will do, since its bench work can be done here;
    way: the one that is taken, where not any."""

    axle: str
    location: str
    in_place: bool = True
    way: str | None = None


@dataclass(frozen=True, slots=True)
class AccessPath:
    """Operations in removal order, after-work in order, what of it is elsewhere, the way of each target; minutes."""

    operations: tuple[str, ...]
    after: tuple[str, ...]
    elsewhere: frozenset[str]
    ways: tuple[str, ...]
    minutes: Fraction
    after_minutes: Fraction
    proven: bool
    branches: int


@dataclass(frozen=True, slots=True)
class Plan:
    """A plan of least cost. Minutes are exact and leave out all work elsewhere.

    operations: the way in, in removal order. after: after-work, in order. ways: by goal name. `minutes` is way in,
    refit and bench, `after_minutes` the rest, `cost` both.
    """

    goals: tuple[Goal, ...]
    sides: int
    operations: tuple[str, ...]
    after: tuple[str, ...]
    elsewhere: frozenset[str]
    ways: Mapping[str, str]
    bench: tuple[BenchWork, ...]
    minutes: Fraction
    after_minutes: Fraction
    proven: bool
    branches: int

    @property
    def cost(self) -> Fraction:
        return self.minutes + self.after_minutes

    @property
    def ordered(self) -> tuple[str, ...]:
        return (*self.operations, *self.after)

    @property
    def members(self) -> frozenset[str]:
        return frozenset(self.ordered)

    @property
    def counted(self) -> tuple[str, ...]:
        """The operations done here, way in first."""
        return tuple(name for name in self.ordered if name not in self.elsewhere)


@dataclass(frozen=True)
class JobSetup:
    """One car with some ends opened, the sides done and the equipment at hand.

    `barred` are operations that could be done here and shall not be (the home plan bars by grade).
    """

    workshop: Workshop
    car: JobCar
    ends: tuple[str, ...]
    sides: int
    equipment: frozenset[str]
    barred: frozenset[str] = frozenset()

    @property
    def axles(self) -> tuple[str, ...]:
        """The axles of the opened ends, front first."""
        return tuple(self.car.axles[end] for end in self.ends)

    @cached_property
    def graph(self) -> OperationGraph:
        absent = frozenset(name for name in self.car.absent if name.partition("/")[0] in self.axles)
        return operation_graph(self.workshop, self.axles, absent, self.sides, self.equipment)

    @property
    def operations(self) -> Mapping[str, Operation]:
        """The operations that are there, by name."""
        return self.graph.operations

    def named(self, names: Iterable[str]) -> list[Operation]:
        return [self.operations[name] for name in names]

    def ways(self, goal: Goal) -> list[Way]:
        """The ways of a goal's place that its bench work leaves, by code."""
        return [way for way, _ in _ways_to(self.graph, self._target(goal))]

    def min_cost_plan(
        self, goals: Sequence[Goal], *, ways: Mapping[str, str] = MappingProxyType({}), node_limit: int = NODE_LIMIT
    ) -> Plan | None:
        """The plan of least cost for goals at the opened ends, or None. `ways`: by goal name the one to take."""
        barred = self.graph.mask(self.barred & self.operations.keys())
        targets = tuple(self._target(goal, ways.get(goal.name)) for goal in goals)
        path = _min_cost_path(self.graph, targets, barred, node_limit)
        if path is None:
            return None
        bench = self._bench(goals)
        return Plan(
            goals=tuple(goals),
            sides=self.sides,
            operations=path.operations,
            after=path.after,
            elsewhere=path.elsewhere,
            ways={goal.name: way for goal, way in zip(goals, path.ways, strict=True)},
            bench=bench,
            minutes=path.minutes + sum(work.minutes or Fraction(0) for work in bench),
            after_minutes=path.after_minutes,
            proven=path.proven,
            branches=path.branches,
        )

    def rests_on(self, goal: Goal, members: frozenset[str]) -> frozenset[str]:
        """The members of a plan that one goal rests on."""
        return self.graph.names_in(_rests_on(self.graph, [self._target(goal)], self.graph.mask(members))[1])

    def _target(self, goal: Goal, way: str | None = None) -> PlaceTarget:
        bench = goal.part.bench
        in_place = bench is None or are_at_hand(bench.equipment, self.equipment)
        return PlaceTarget(self.car.axles[goal.end], goal.location, in_place, way)

    def _bench(self, goals: Sequence[Goal]) -> tuple[BenchWork, ...]:
        pieces: dict[str, int] = {}
        benches: dict[str, Bench] = {}
        for goal in goals:
            if goal.part.bench is not None:
                location = self.workshop.location(self.car, goal)
                pieces[goal.part.code] = pieces.get(goal.part.code, 0) + location.pieces_of(self.sides)
                benches[goal.part.code] = goal.part.bench
        return tuple(
            BenchWork(part, pieces[part], bench.expected * pieces[part] if here else None, not here, bench)
            for part, bench in benches.items()
            for here in [are_at_hand(bench.equipment, self.equipment)]
        )


@dataclass(frozen=True, slots=True)
class CostliestCar:
    """The car whose plan is shown, the plan, and whether another car's differs in steps or minutes."""

    setup: JobSetup
    plan: Plan
    varies: bool


def setup_for(
    workshop: Workshop, car: JobCar, goals: Iterable[Goal], sides: int, equipment: frozenset[str]
) -> JobSetup | None:
    """A car with the ends opened that have a goal; None when it has no recorded axle there."""
    ends = opened_ends(car, workshop, goals)
    return None if ends is None else JobSetup(workshop, car, ends, sides, equipment)


def opened_ends(car: JobCar, workshop: Workshop, goals: Iterable[Goal]) -> tuple[str, ...] | None:
    """The ends with a goal, front first; None when the car has no recorded axle there."""
    of_goals = {goal.end for goal in goals}
    ends = tuple(end for end in End if end in of_goals)
    return ends if all(car.axles.get(end) in workshop.axles for end in ends) else None


def costliest_car(
    workshop: Workshop, cars: Sequence[JobCar], goals: Sequence[Goal], sides: int, equipment: frozenset[str]
) -> CostliestCar | JobSetup | None:
    """The plan of greatest cost over all possible cars, since the fitter must be ready for it.

    Ties: first variant, then the plan that would win as the least (fewest operations, sorted names), then the first
    of the variant's cars. A car without a plan makes the job one without: the setup of the first such car is
    returned; None when a car has no recorded axle at an end asked.
    """
    found: list[tuple[JobSetup, Plan]] = []
    seen: set[tuple[str, tuple[str, ...], frozenset[str]]] = set()
    for car in sorted(cars, key=lambda c: (c.variant, c.order)):
        setup = setup_for(workshop, car, goals, sides, equipment)
        if setup is None:
            return None
        key = (car.variant, setup.axles, setup.graph.missing)
        if key in seen:
            continue
        seen.add(key)
        plan = setup.min_cost_plan(goals)
        if plan is None:
            return setup
        found.append((setup, plan))
    if not found:
        return None
    most = max(plan.cost for _, plan in found)
    setup, plan = min(
        ((setup, plan) for setup, plan in found if plan.cost == most),
        key=lambda pair: (pair[0].car.variant, len(pair[1].members), sorted(pair[1].members)),
    )
    looks = {(plan.operations, plan.after, plan.elsewhere, plan.minutes, plan.after_minutes) for _, plan in found}
    return CostliestCar(setup, plan, len(looks) > 1)


def topological_order(nodes: int, needs: Sequence[Masks], done: int = 0) -> list[int]:
    """The nodes of a set, each after one node of each of its groups; of those that may come next the smallest.

    needs: per node its groups, each met by a node in front of it or of `done`. A set that cannot be put in an order
    is a ValueError: a plan never is one.

    >>> topological_order(0b111, ((0b010,), (0b100,), ()))
    [2, 1, 0]
    """
    waiting, order = nodes, []
    while waiting:
        for node in bits(waiting):
            if all(group & done for group in needs[node]):
                break
        else:
            raise ValueError("these rest on each other")
        waiting ^= 1 << node
        done |= 1 << node
        order.append(node)
    return order


def _ways_to(graph: OperationGraph, target: PlaceTarget) -> list[tuple[Way, Masks]]:
    """The ways that will do for a target, by code, with their groups."""
    return [
        (way, groups)
        for way, groups in graph.ways(target.axle, target.location)
        if (target.in_place or way.piece_out) and target.way in (None, way.code)
    ]


@lru_cache(maxsize=8192)
def _min_cost_path(
    graph: OperationGraph, targets: tuple[PlaceTarget, ...], barred: int, node_limit: int
) -> AccessPath | None:
    """The path of least cost that reaches all targets without the barred operations, whatever parts go there."""
    goals = [
        [tuple(group << graph.copy_offset for group in groups) for _, groups in _ways_to(graph, target)]
        for target in targets
    ]
    found = min_cost_set(graph.reduced(barred), goals, node_limit=node_limit)
    if found is None:
        return None
    members = found.nodes & ((1 << len(graph.names)) - 1)
    ways, reached = _rests_on(graph, targets, members)
    rest = members & ~reached
    return AccessPath(
        operations=tuple(graph.names[node] for node in topological_order(reached, graph.need_masks)),
        after=tuple(graph.names[node] for node in topological_order(rest, graph.need_masks, done=reached)),
        elsewhere=graph.names_in(members & ~graph.available_mask),
        ways=tuple(ways),
        minutes=Fraction(sum(graph.minutes[node] for node in bits(reached)), graph.scale),
        after_minutes=Fraction(sum(graph.minutes[node] for node in bits(rest)), graph.scale),
        proven=found.proven,
        branches=found.branches,
    )


def _rests_on(graph: OperationGraph, targets: Sequence[PlaceTarget], members: int) -> tuple[list[str], int]:
    """The way of each target (the first by code that will do), and all members that they rest on."""
    available = members & graph.available_mask
    ways, reached = [], 0
    for target in targets:
        for way, groups in _ways_to(graph, target):
            if not all(group & available for group in groups):
                continue
            base = _closure(groups, graph.need_masks, available)
            if well_founded(graph.need_masks, base) == base:
                ways.append(way.code)
                reached |= base
                break
    return ways, reached


def _closure(groups: Masks, needs: Sequence[Masks], among: int) -> int:
    """The nodes of `among` named by groups, those that the needs of such nodes name, and so on."""
    reached, waiting = 0, union(groups) & among
    while waiting:
        reached |= waiting
        waiting = union(group for node in bits(waiting) for group in needs[node]) & among & ~reached
    return reached

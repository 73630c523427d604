"""The least plan that opens a car for its goals: AND/OR graph of operations, equipment, after-work, work elsewhere.

Definition (the plan): a set of operations that, for every goal, meets all groups of one way, meets every need of each
member, contains what each member entails, and can be put in an order. Least expected minutes first (bench work
included), then fewest operations, then the sorted names `axle/code`.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from math import lcm

from .least import NODE_LIMIT, Graph, Prepared, bits, founded, least_set, prepare
from .orders import in_order
from .procedures import CAR_ZONE, Bench, Car, Goal, Groups, Operation, Way, Workshop

ENDS = ("front", "rear")


def usable(groups: Groups, equipment: frozenset[str]) -> bool:
    """Whether of every group of equipment one piece is at hand."""
    return all(any(code in equipment for code in group) for group in groups)


def used(groups: Groups, equipment: frozenset[str]) -> list[str]:
    """Of every group the first piece at hand, as written.

    >>> used((("lift", "stands"), ("puller",)), frozenset({"stands", "puller"}))
    ['stands', 'puller']
    """
    return [next(code for code in group if code in equipment) for group in groups]


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

    `allowed` may bar operations that could be done here (the home plan does, by grade).
    """

    workshop: Workshop
    car: Car
    ends: tuple[str, ...]
    sides: int
    equipment: frozenset[str]
    allowed: Callable[[Operation], bool] | None = None

    @cached_property
    def _own(self) -> dict[tuple[str, str], str]:
        """(axle, code) -> the name under which the step stands: `car` steps of both axles have the front's."""
        own: dict[tuple[str, str], str] = {}
        shared: dict[str, str] = {}
        for end in self.ends:
            axle = self.workshop.axles[self.car.axles[end]]
            for operation in axle.operations.values():
                name = operation.name
                if operation.zone == CAR_ZONE:
                    name = shared.setdefault(operation.code, name)
                own[axle.code, operation.code] = name
        return own

    @cached_property
    def operations(self) -> dict[str, Operation]:
        """The operations that are there, by name."""
        there = {}
        for (axle, code), name in self._own.items():
            operation = self.workshop.axles[axle].operations[code]
            if operation.name == name and name not in self.car.absent:
                there[name] = operation
        return there

    @cached_property
    def missing(self) -> frozenset[str]:
        """The operations of the opened axles that this car does not have."""
        return frozenset(name for name in self._own.values() if name in self.car.absent)

    @cached_property
    def names(self) -> list[str]:
        return sorted(self.operations)

    @cached_property
    def rank(self) -> dict[str, int]:
        return {name: at for at, name in enumerate(self.names)}

    @cached_property
    def available(self) -> frozenset[str]:
        """The operations whose equipment is at hand."""
        return frozenset(name for name in self.names if usable(self.operations[name].equipment, self.equipment))

    def groups(self, axle: str, groups: Groups) -> list[frozenset[str]]:
        """Groups as names of what is there; a group that names an open absence is met and left out."""
        return [frozenset(present) for present in (self._group(axle, group) for group in groups) if present is not None]

    def _group(self, axle: str, group: Sequence[str]) -> list[str] | None:
        present = []
        for code in group:
            name = self._own[axle, code]
            if name in self.operations:
                present.append(name)
            elif self.workshop.axles[axle].operations[code].if_absent == "open":
                return None
        return present

    @cached_property
    def needs(self) -> dict[str, list[frozenset[str]]]:
        return {name: self.groups(o.axle, o.needs) for name, o in self.operations.items()}

    @cached_property
    def entails(self) -> dict[str, list[str]]:
        own = self._own
        return {
            name: [n for n in (own[o.axle, code] for code in o.entails) if n in self.operations]
            for name, o in self.operations.items()
        }

    @cached_property
    def lasting(self) -> list[str]:
        """The operations that a plan can hold when equipment is no matter: in order, with all that they entail."""
        needs = tuple(tuple(self._mask(group) for group in self.needs[name]) for name in self.names)
        entails = tuple(self._mask(self.entails[name]) for name in self.names)
        return [self.names[at] for at in bits(prepare(Graph((0,) * len(needs), needs, entails)).alive)]

    @cached_property
    def scale(self) -> int:
        """What makes all minutes of the site whole numbers."""
        return lcm(1, *(operation.expected.denominator for operation in self.operations.values()))

    def _mask(self, names: Iterable[str]) -> int:
        mask = 0
        for name in names:
            mask |= 1 << self.rank[name]
        return mask

    @cached_property
    def _layers(self) -> int:
        """1 where all is available; else 2: members, and above them the members that a goal may rest on."""
        return 1 if len(self.available) == len(self.names) else 2

    @cached_property
    def _prepared(self) -> Prepared:
        names, count = self.names, len(self.names)
        many = 1 << count
        weights, needs, entails = [], [], []
        for at, name in enumerate(names):
            minutes = self.operations[name].minutes(self.sides) * self.scale if name in self.available else 0
            # one number that orders sets by minutes, then by how many they are, then by their sorted names
            weights.append(int(minutes) * many * many + many - (1 << (count - 1 - at)))
            needs.append(tuple(self._mask(group) for group in self.needs[name]))
            entails.append(self._mask(self.entails[name]))
        barred = 0
        if self.allowed is not None:
            barred = self._mask(n for n in self.available if not self.allowed(self.operations[n]))
        lift = 0
        if self._layers == 2:
            lift = count
            barred |= (barred | self._mask(n for n in names if n not in self.available)) << count
            here = self._mask(self.available)
            needs += [tuple((group & here) << count for group in groups) for groups in needs]
            entails += [1 << at for at in range(count)]
            weights += [0] * count
        return prepare(Graph(tuple(weights), tuple(needs), tuple(entails), lift), barred)

    def ways(self, goal: Goal) -> list[Way]:
        """The ways of a goal's place that its bench work leaves, by code."""
        place = self.workshop.axles[self.car.axles[goal.end]].places.get(goal.location)
        bench = goal.part.bench
        here = bench is None or usable(bench.equipment, self.equipment)
        return [way for way in sorted(place.ways, key=lambda w: w.code) if here or way.piece_out] if place else []

    def least(self, goals: Sequence[Goal], node_limit: int = NODE_LIMIT) -> Plan | None:
        """The least plan for goals at the opened ends, or None."""
        shift = len(self.names) * (self._layers - 1)
        asked = [
            [tuple(group << shift for group in self._way_groups(goal, way)) for way in self.ways(goal)]
            for goal in goals
        ]
        found = least_set(self._prepared, asked, node_limit=node_limit)
        if found is None:
            return None
        members = frozenset(self.names[at] for at in bits(found.nodes & ((1 << len(self.names)) - 1)))
        return self._plan(goals, members, found.proven, found.branches)

    def _plan(self, goals: Sequence[Goal], members: frozenset[str], proven: bool, branches: int) -> Plan:
        ways, reached = self._reached(goals, members)
        operations = in_order(reached, self.needs)
        after = in_order(members - reached, self.needs, done=reached)
        elsewhere = members - self.available
        bench = self._bench(goals)

        def total(names: Iterable[str]) -> Fraction:
            here = (self.operations[name] for name in names if name not in elsewhere)
            return sum((operation.minutes(self.sides) for operation in here), Fraction(0))

        return Plan(
            goals=tuple(goals),
            sides=self.sides,
            equipment=self.equipment,
            operations=tuple(operations),
            after=tuple(after),
            elsewhere=elsewhere,
            ways=ways,
            bench=bench,
            minutes=total(operations) + sum((work.minutes for work in bench), Fraction(0)),
            after_minutes=total(after),
            proven=proven,
            branches=branches,
        )

    def _way_groups(self, goal: Goal, way: Way) -> list[int]:
        groups = self.groups(self.car.axles[goal.end], way.operations)
        return [self._mask(group & self.available) for group in groups]

    def rests_on(self, goal: Goal, members: frozenset[str]) -> frozenset[str]:
        """The members of a plan that one goal rests on."""
        return self._reached([goal], members)[1]

    def _reached(self, goals: Sequence[Goal], members: frozenset[str]) -> tuple[dict[str, str], frozenset[str]]:
        """The way of each goal (the first by code that will do), and all that the goals rest on."""
        here = self._mask(members & self.available)
        needs = [tuple(self._mask(group) & here for group in self.needs[name]) for name in self.names]
        ways, reached = {}, 0
        for goal in goals:
            for way in self.ways(goal):
                groups = [group & here for group in self._way_groups(goal, way)]
                rests_on = _closure(groups, needs)
                if all(groups) and founded(needs, rests_on) == rests_on:
                    ways[goal.name] = way.code
                    reached |= rests_on
                    break
        return ways, frozenset(self.names[at] for at in bits(reached))

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


def _closure(groups: Iterable[int], needs: Sequence[tuple[int, ...]]) -> int:
    """The nodes named by groups, those that the needs of such nodes name, and so on."""
    reached, waiting = 0, 0
    for group in groups:
        waiting |= group
    while waiting:
        reached |= waiting
        named = 0
        for node in bits(waiting):
            for group in needs[node]:
                named |= group
        waiting = named & ~reached
    return reached


def opened(car: Car, workshop: Workshop, goals: Iterable[Goal]) -> tuple[str, ...] | None:
    """The ends with a goal, front first; None when the car has no recorded axle there."""
    asked = {goal.end for goal in goals}
    ends = tuple(end for end in ENDS if end in asked)
    return ends if all(car.axles.get(end) in workshop.axles for end in ends) else None

"""The steps of the opened axles of cars that are alike, as a graph: what every plan on such a car is searched in."""

from collections.abc import Iterable, Sequence
from functools import cached_property
from math import lcm
from typing import Any

from fitment.domain.procedures import CAR_ZONE, Groups, Operation, Way, Workshop
from fitment.job.min_cost_set import Graph, Prepared, bits, prepare
from fitment.job.min_cost_set import Groups as Masks

MOST_KEPT = 256


def usable(groups: Groups, equipment: frozenset[str]) -> bool:
    """Whether of every group of equipment one piece is at hand."""
    return all(any(code in equipment for code in group) for group in groups)


def used(groups: Groups, equipment: frozenset[str]) -> list[str]:
    """Of every group the first piece at hand, as written.

    >>> used((("lift", "stands"), ("puller",)), frozenset({"stands", "puller"}))
    ['stands', 'puller']
    """
    return [next(code for code in group if code in equipment) for group in groups]


def ground_of(
    workshop: Workshop, axles: tuple[str, ...], absent: frozenset[str], sides: int, equipment: frozenset[str]
) -> "Ground":
    """The ground for these, worked out once for one workshop: other parts and other cars alike stand on it too."""
    here = frozenset(name for name in absent if name.partition("/")[0] in axles)
    key = (axles, here, sides, equipment)
    found = workshop.kept.get(key)
    if found is None:
        if len(workshop.kept) >= MOST_KEPT:
            workshop.kept.clear()
        found = workshop.kept[key] = Ground(workshop, axles, here, sides, equipment)
    return found


class Ground:
    """The operations that are there, by name and as nodes of a graph; node n is the n-th name in sorted order.

    axles: codes of the opened ends, front first. absent: names that the car's conditions take away. `kept` holds
    what was searched here.
    """

    def __init__(
        self, workshop: Workshop, axles: tuple[str, ...], absent: frozenset[str], sides: int, equipment: frozenset[str]
    ) -> None:
        self.workshop, self.axles, self.sides, self.equipment = workshop, axles, sides, equipment
        self.own, self.operations = self._named(absent)
        self.missing = frozenset(name for name in self.own.values() if name not in self.operations)
        self.names = sorted(self.operations)
        self.rank = {name: at for at, name in enumerate(self.names)}
        self.available = frozenset(n for n, o in self.operations.items() if usable(o.equipment, equipment))
        self.here = self.mask(self.available)
        self.needs = {name: self.groups(o.axle, o.needs) for name, o in self.operations.items()}
        self.need_masks: list[Masks] = [tuple(self.mask(g) for g in self.needs[name]) for name in self.names]
        self.kept: dict[Any, Any] = {}
        self._prepared: dict[int, Prepared] = {}
        self._ways: dict[tuple[str, str], list[tuple[Way, Masks]]] = {}

    def _named(self, absent: frozenset[str]) -> tuple[dict[tuple[str, str], str], dict[str, Operation]]:
        """(axle, code) -> the name under which a step stands, and the steps there are by name.

        `car` steps of both axles are one, under the front's name where it has the row.
        """
        own: dict[tuple[str, str], str] = {}
        there: dict[str, Operation] = {}
        shared: dict[str, str] = {}
        for code in self.axles:
            for operation in self.workshop.axles[code].operations.values():
                name = operation.name
                if operation.zone == CAR_ZONE:
                    name = shared.setdefault(operation.code, name)
                own[code, operation.code] = name
                if name == operation.name and name not in absent:
                    there[name] = operation
        return own, there

    def mask(self, names: Iterable[str]) -> int:
        mask = 0
        for name in names:
            mask |= 1 << self.rank[name]
        return mask

    def named(self, nodes: int) -> frozenset[str]:
        return frozenset(self.names[node] for node in bits(nodes))

    def groups(self, axle: str, groups: Groups) -> list[frozenset[str]]:
        """Groups as names of what is there; a group that names an open absence is met and left out."""
        found = (self._group(axle, group) for group in groups)
        return [frozenset(present) for present in found if present is not None]

    def _group(self, axle: str, group: Sequence[str]) -> list[str] | None:
        present = []
        for code in group:
            name = self.own[axle, code]
            if name in self.operations:
                present.append(name)
            elif self.workshop.axles[axle].operations[code].if_absent == "open":
                return None
        return present

    def ways(self, axle: str, location: str) -> list[tuple[Way, Masks]]:
        """The ways of a place by code, each with its groups as masks of what may be rested on."""
        found = self._ways.get((axle, location))
        if found is None:
            place = self.workshop.axles[axle].places.get(location)
            ways = sorted(place.ways, key=lambda way: way.code) if place else []
            found = [
                (way, tuple(self.mask(group & self.available) for group in self.groups(axle, way.operations)))
                for way in ways
            ]
            self._ways[axle, location] = found
        return found

    @cached_property
    def entails(self) -> list[int]:
        return [
            self.mask({self.own[o.axle, code] for code in o.entails} & self.operations.keys())
            for o in (self.operations[name] for name in self.names)
        ]

    @cached_property
    def scale(self) -> int:
        """What makes all minutes whole numbers."""
        return lcm(1, *(operation.expected.denominator for operation in self.operations.values()))

    @cached_property
    def minutes(self) -> list[int]:
        """Scaled minutes of each node on the sides done; nought where its equipment is missing."""
        return [
            int(self.operations[name].minutes(self.sides) * self.scale) if name in self.available else 0
            for name in self.names
        ]

    @property
    def lift(self) -> int:
        """0 where all equipment is at hand. Else each node has a copy this far above it: the member as what a goal
        may rest on, with copies above only of what can be done here."""
        return 0 if len(self.available) == len(self.names) else len(self.names)

    def prepared(self, barred: int) -> Prepared:
        """The graph without the barred nodes that could be done here."""
        barred &= self.here
        found = self._prepared.get(barred)
        if found is None:
            found = self._prepared[barred] = prepare(self._graph, self._lifted(barred))
        return found

    @cached_property
    def lasting(self) -> list[str]:
        """The operations that a plan can hold when equipment is no matter: in order, with all that they entail."""
        graph = Graph((0,) * len(self.names), tuple(self.need_masks), tuple(self.entails))
        return [self.names[node] for node in bits(prepare(graph).alive)]

    def _lifted(self, barred: int) -> int:
        if not self.lift:
            return barred
        everything = (1 << len(self.names)) - 1
        return barred | (barred | everything & ~self.here) << self.lift

    @cached_property
    def _graph(self) -> Graph:
        count = len(self.names)
        many = 1 << count
        # one number that orders sets by minutes, then by how many they are, then by their sorted names
        weights = [m * many * many + many - (1 << (count - 1 - node)) for node, m in enumerate(self.minutes)]
        needs, entails = list(self.need_masks), list(self.entails)
        if self.lift:
            needs += [tuple((group & self.here) << count for group in groups) for groups in self.need_masks]
            entails += [1 << node for node in range(count)]
            weights += [0] * count
        return Graph(tuple(weights), tuple(needs), tuple(entails), self.lift)

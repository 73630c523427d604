"""The operations of the opened axles of cars that are equal there, as a graph: what every plan is searched in."""

from collections.abc import Iterable, Sequence
from functools import cached_property, lru_cache
from math import lcm

from catalog.codes import IfAbsent
from fitment.domain.procedures import CAR_ZONE, Groups, Operation, Way, Workshop, are_at_hand
from fitment.job.min_cost_set import AndOrGraph, Masks, ReducedGraph, bits, reduce_graph


@lru_cache(maxsize=512)
def operation_graph(
    workshop: Workshop, axles: tuple[str, ...], absent: frozenset[str], sides: int, equipment: frozenset[str]
) -> "OperationGraph":
    """The graph for these, built once for one workshop: other parts, and other cars equal there, are planned in it."""
    return OperationGraph(workshop, axles, absent, sides, equipment)


class OperationGraph:
    """The operations that are there, by name and as nodes of a graph; node n is the n-th name in sorted order.

    axles: codes of the opened ends, front first. absent: names that the car's conditions take away.
    """

    def __init__(
        self, workshop: Workshop, axles: tuple[str, ...], absent: frozenset[str], sides: int, equipment: frozenset[str]
    ) -> None:
        self.workshop, self.axles, self.sides, self.equipment = workshop, axles, sides, equipment
        self.name_of, self.operations = self._named(absent)
        self.missing = frozenset(name for name in self.name_of.values() if name not in self.operations)
        self.names = sorted(self.operations)
        self.node_of = {name: node for node, name in enumerate(self.names)}
        self.available = frozenset(n for n, o in self.operations.items() if are_at_hand(o.equipment, equipment))
        self.available_mask = self.mask(self.available)
        self.needs = {name: self.groups(o.axle, o.needs) for name, o in self.operations.items()}
        self.need_masks: list[Masks] = [tuple(self.mask(g) for g in self.needs[name]) for name in self.names]
        self._reduced: dict[int, ReducedGraph] = {}
        self._ways: dict[tuple[str, str], list[tuple[Way, Masks]]] = {}

    def _named(self, absent: frozenset[str]) -> tuple[dict[tuple[str, str], str], dict[str, Operation]]:
        """(axle, code) -> the name under which an operation stands, and the operations there are by name.

        `car` operations of both axles are one, under the front's name where it has the row.
        """
        names: dict[tuple[str, str], str] = {}
        operations: dict[str, Operation] = {}
        shared: dict[str, str] = {}
        for axle in self.axles:
            for operation in self.workshop.axles[axle].operations.values():
                name = operation.name
                if operation.zone == CAR_ZONE:
                    name = shared.setdefault(operation.code, name)
                names[axle, operation.code] = name
                if name == operation.name and name not in absent:
                    operations[name] = operation
        return names, operations

    def mask(self, names: Iterable[str]) -> int:
        mask = 0
        for name in names:
            mask |= 1 << self.node_of[name]
        return mask

    def names_in(self, mask: int) -> frozenset[str]:
        return frozenset(self.names[node] for node in bits(mask))

    def groups(self, axle: str, groups: Groups) -> list[frozenset[str]]:
        """Groups as names of what is there; a group that names an open absence is met and left out."""
        found = (self._group(axle, group) for group in groups)
        return [frozenset(present) for present in found if present is not None]

    def _group(self, axle: str, group: Sequence[str]) -> list[str] | None:
        present = []
        for code in group:
            name = self.name_of[axle, code]
            if name in self.operations:
                present.append(name)
            elif self.workshop.axles[axle].operations[code].if_absent == IfAbsent.OPEN:
                return None
        return present

    def ways(self, axle: str, location: str) -> list[tuple[Way, Masks]]:
        """The ways to a location by code, each with its groups as masks of the available operations."""
        found = self._ways.get((axle, location))
        if found is None:
            at = self.workshop.axles[axle].locations.get(location)
            found = self._ways[axle, location] = [
                (way, tuple(self.mask(group & self.available) for group in self.groups(axle, way.operations)))
                for way in sorted(at.ways if at else (), key=lambda way: way.code)
            ]
        return found

    @cached_property
    def entails(self) -> list[int]:
        operations = (self.operations[name] for name in self.names)
        return [
            self.mask({self.name_of[one.axle, code] for code in one.entails} & self.operations.keys())
            for one in operations
        ]

    @cached_property
    def scale(self) -> int:
        """What makes all minutes whole numbers."""
        return lcm(1, *(operation.expected.denominator for operation in self.operations.values()))

    @cached_property
    def minutes(self) -> list[int]:
        """Scaled minutes of each node on the sides done; 0 where its equipment is missing."""
        return [
            int(self.operations[name].minutes(self.sides) * self.scale) if name in self.available else 0
            for name in self.names
        ]

    @property
    def copy_offset(self) -> int:
        """0 where all equipment is at hand. Else each node has a copy this far above it: the member as what a goal
        may rest on, with copies above only of what can be done here."""
        return 0 if len(self.available) == len(self.names) else len(self.names)

    def reduced(self, barred: int) -> ReducedGraph:
        """The graph without the barred nodes that could be done here."""
        barred &= self.available_mask
        if barred not in self._reduced:
            self._reduced[barred] = reduce_graph(self._graph, self._with_copies(barred))
        return self._reduced[barred]

    @cached_property
    def plannable(self) -> list[str]:
        """The operations that a plan can hold when equipment is no matter: in order, with all that they entail."""
        graph = AndOrGraph((0,) * len(self.names), tuple(self.need_masks), tuple(self.entails))
        return [self.names[node] for node in bits(reduce_graph(graph).alive)]

    def _with_copies(self, barred: int) -> int:
        if not self.copy_offset:
            return barred
        everything = (1 << len(self.names)) - 1
        return barred | (barred | everything & ~self.available_mask) << self.copy_offset

    @cached_property
    def _graph(self) -> AndOrGraph:
        count = len(self.names)
        many = 1 << count
        # one number that orders sets by minutes, then by how many they are, then by their sorted names
        weights = [m * many * many + many - (1 << (count - 1 - node)) for node, m in enumerate(self.minutes)]
        needs, entails = list(self.need_masks), list(self.entails)
        if self.copy_offset:
            needs += [tuple((group & self.available_mask) << count for group in groups) for groups in self.need_masks]
            entails += [1 << node for node in range(count)]
            weights += [0] * count
        return AndOrGraph(tuple(weights), tuple(needs), tuple(entails), self.copy_offset)

"""The least set of nodes of an AND/OR graph that can be put in an order: exact branch and bound.

The graph knows nothing of cars; `operation_graph` builds it from operations, ways and equipment. A node is a bit of an
integer and a set of nodes an integer, so that unions and tests of whole sets are single operations.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import reduce
from operator import or_

NODE_LIMIT = 60_000

Masks = tuple[int, ...]
_Option = tuple[int, int, int]  # extra weight, node, all that the node brings with it
_Choice = tuple[int, list[_Option]]  # the group, and its alternatives that are left


@dataclass(frozen=True, slots=True)
class AndOrGraph:
    """Nodes 0..n-1, sets of nodes as bit masks.

    weights: what a node adds to the sum that is minimised, not negative.
    needs: per node its groups, each met by one of its nodes that comes before.
    entails: per node the nodes that must be there too, before or after.
    copy_offset: 0, or how far above a node its upper copy stands; the lower half of the nodes then has copies. A set
    with an upper node, and with a lower one whose copy a group of that upper node names, has the copy too.
    """

    weights: tuple[int, ...]
    needs: tuple[Masks, ...]
    entails: tuple[int, ...]
    copy_offset: int = 0


@dataclass(frozen=True, slots=True)
class ReducedGraph:
    """A graph without the nodes that no plan can hold, and per node all that it brings with it."""

    weights: tuple[int, ...]
    alive: int
    needs: tuple[Masks, ...]
    forced: tuple[int, ...]
    pulls: tuple[int, ...]
    copy_offset: int


@dataclass(frozen=True, slots=True)
class MinCostSet:
    """A set of nodes, its weight, whether it is proven to be the least, and the branches it took."""

    nodes: int
    weight: int
    proven: bool
    branches: int


def bits(mask: int) -> Iterator[int]:
    """The nodes of a set, ascending.

    >>> list(bits(0b1010))
    [1, 3]
    """
    while mask:
        low = mask & -mask
        yield low.bit_length() - 1
        mask ^= low


def union(masks: Iterable[int]) -> int:
    return reduce(or_, masks, 0)


def well_founded(needs: Sequence[Masks], among: int) -> int:
    """The nodes of `among` that can be put in an order in which each comes after one node of each of its groups.

    >>> well_founded(((0b10,), ()), 0b11)
    3
    >>> well_founded(((0b10,), (0b01,)), 0b11)
    0
    """
    done, waiting = 0, among
    while waiting:
        before = done
        for node in bits(waiting):
            for group in needs[node]:
                if not group & done:
                    break
            else:
                done |= 1 << node
        if done == before:
            break
        waiting = among & ~done
    return done


def reduce_graph(graph: AndOrGraph, barred: int = 0) -> ReducedGraph:
    """Leave out what no plan without the `barred` nodes can hold, and find what each node brings with it."""
    alive = ((1 << len(graph.weights)) - 1) & ~barred
    while True:
        kept = well_founded(graph.needs, alive)
        for node in bits(kept):
            if graph.entails[node] & ~kept:
                kept ^= 1 << node
        if kept == alive:
            break
        alive = kept
    needs = tuple(tuple(group & alive for group in groups) for groups in graph.needs)
    offset = graph.copy_offset
    pulls = tuple(_pulled(groups, offset) if node >= offset else 0 for node, groups in enumerate(graph.needs))
    return ReducedGraph(graph.weights, alive, needs, _forced(alive, needs, graph.entails), pulls, offset)


def _pulled(groups: Masks, copy_offset: int) -> int:
    """The lower nodes whose copies stand in the groups of an upper one; none without copies."""
    return union(groups) >> copy_offset if copy_offset else 0


def _forced(alive: int, needs: Sequence[Masks], entails: Sequence[int]) -> tuple[int, ...]:
    """Per node: itself, what it entails, what all alternatives of a group of it share, and so on."""
    forced = [1 << node if alive >> node & 1 else 0 for node in range(len(needs))]
    moved = True
    while moved:
        moved = False
        for node in bits(alive):
            mask = forced[node]
            for other in bits(entails[node]):
                mask |= forced[other]
            for group in needs[node]:
                mask |= _shared(group, forced)
            if mask != forced[node]:
                forced[node], moved = mask, True
    return tuple(forced)


def _shared(group: int, forced: Sequence[int]) -> int:
    shared = -1
    for node in bits(group):
        shared &= forced[node]
    return shared


def min_cost_set(
    graph: ReducedGraph, goals: Sequence[Sequence[Masks]], *, node_limit: int = NODE_LIMIT
) -> MinCostSet | None:
    """The set of least weight that meets all goals, or None where there is none.

    A goal is a list of ways, a way a list of groups: of one way every group must be met. Every member comes after
    one member of each of its groups and brings all that it entails. `proven` is False when the search ended at
    `node_limit` branches: the limit counts work, never time, so that an answer is the same on every machine. Where
    two sets weigh the same either may be returned: the caller makes weights that tell sets apart.

    Notes: NP-hard (set cover is a special case); meant for some 120 nodes.
    References: bound by dual ascent, Erlenkotter (1978), Operations Research 26(6); rings as unfounded sets, as in
    stable models, Gelfond and Lifschitz (1988) (both from memory).

    >>> pair = reduce_graph(AndOrGraph((1, 5, 4), ((0b110,), (), ()), (0, 0, 0)))
    >>> min_cost_set(pair, [[(0b001,)]]).nodes
    5
    """
    search = _Search(graph, node_limit)
    unmet: list[int] = []
    for ways in goals:
        usable = [way for way in ways if all(group & graph.alive for group in way)]
        if not usable:
            return None
        if len(usable) == 1:
            unmet.extend(group & graph.alive for group in usable[0])
            search.root_pulls |= _pulled(usable[0], graph.copy_offset)
        else:
            unmet.append(search.add(usable))
    if not graph.copy_offset:
        search.keep(graph.alive, sum(graph.weights[node] for node in bits(graph.alive)))
    search.go(0, 0, 0, unmet)
    if search.best is None:
        return None
    found = search.best & ((1 << len(graph.weights)) - 1)
    return MinCostSet(found, search.best_weight, search.branches < node_limit, search.branches)


class _Search:
    """Depth first over the alternatives of one unmet group at a time.

    A state is the set held, the set ruled out, the weight held, and the groups still to be met. Alternatives tried
    before are ruled out in later branches, so that no set is met twice. When nothing is unmet but some members only
    rest on each other, one of them must come first and rest on something outside: that is branched on.
    """

    def __init__(self, graph: ReducedGraph, limit: int) -> None:
        self.weights, self.needs = list(graph.weights), list(graph.needs)
        self.forced, self.pulls = list(graph.forced), list(graph.pulls)
        self.alive, self.copy_offset = graph.alive, graph.copy_offset
        self.root_pulls = 0
        self.limit, self.branches = limit, 0
        self.best: int | None = None
        self.best_weight = sum(graph.weights) + 1
        self._sums: dict[int, int] = {0: 0}

    def add(self, ways: Sequence[Masks]) -> int:
        """A node for each of several ways; the group of them."""
        first = len(self.weights)
        for way in ways:
            brings = 1 << len(self.weights)
            for group in way:
                brings |= _shared(group & self.alive, self.forced)
            self.forced.append(brings)
            self.weights.append(0)
            self.needs.append(tuple(group & self.alive for group in way))
            self.pulls.append(_pulled(way, self.copy_offset))
        return (1 << len(self.weights)) - (1 << first)

    def keep(self, nodes: int, weight: int) -> None:
        self.best, self.best_weight = nodes, weight

    def go(self, held: int, ruled_out: int, weight: int, unmet: list[int]) -> None:
        if self.branches >= self.limit:
            return
        self.branches += 1
        grown = self._propagate(held, ruled_out, weight, unmet)
        if grown is None:
            return
        held, weight, choices = grown
        if not choices:
            self._close(held, ruled_out, weight)
            return
        if weight + self._bound(held, choices) >= self.best_weight:
            return
        groups = [group for group, _ in choices]
        _, options = min(choices, key=lambda choice: (len(choice[1]), -min(choice[1])[0]))
        for extra, node, mask in sorted(options):
            if weight + extra < self.best_weight:
                self.go(held | mask, ruled_out, weight + extra, groups + self._groups_of(mask & ~held))
            ruled_out |= 1 << node

    def _weigh(self, mask: int) -> int:
        found = self._sums.get(mask)
        if found is None:
            found = self._sums[mask] = sum(self.weights[node] for node in bits(mask))
        return found

    def _groups_of(self, nodes: int) -> list[int]:
        return [group for node in bits(nodes) for group in self.needs[node]]

    def _propagate(
        self, held: int, ruled_out: int, weight: int, unmet: list[int]
    ) -> tuple[int, int, list[_Choice]] | None:
        """Take what has one alternative left; None when a group has none or the weight is no longer below the best."""
        while True:
            choices: list[_Choice] = []
            single: _Option | None = None
            for group in dict.fromkeys(unmet):
                if group & held:
                    continue
                options = []
                for node in bits(group & ~ruled_out):
                    mask = self.forced[node]
                    if not mask & ruled_out:
                        options.append((self._weigh(mask & ~held), node, mask))
                if not options:
                    return None
                if len(options) == 1:
                    single = options[0]
                    break
                choices.append((group, options))
            if single is not None:
                mask = single[2]
            elif self.copy_offset:
                copies = self._copies(held)
                if copies is None or copies & ruled_out:
                    return None
                if not copies & ~held:
                    return held, weight, choices
                mask = copies
            else:
                return held, weight, choices
            weight += self._weigh(mask & ~held)
            if weight >= self.best_weight:
                return None
            unmet = unmet + self._groups_of(mask & ~held)
            held |= mask

    def _copies(self, held: int) -> int | None:
        """The upper copies that a held set must have, with what they bring; None when one cannot be had."""
        upper = held >> self.copy_offset
        named = self.root_pulls | union(self.pulls[node + self.copy_offset] for node in bits(upper))
        copies = (named & held) << self.copy_offset & ~held
        return None if copies & ~self.alive else union(self.forced[node] for node in bits(copies))

    def _bound(self, held: int, choices: list[_Choice]) -> int:
        """A weight that every completion adds at least: dual ascent over the unmet groups.

        A group may charge the nodes of its alternatives up to what is left of their weight, each alternative the
        same sum; so no node is charged more than it weighs, however many groups share it.
        """
        left: dict[int, int] = {}
        total = 0
        for _, options in sorted(choices, key=lambda choice: -min(choice[1])[0]):
            sums = []
            for _, _, mask in options:
                nodes = list(bits(mask & ~held))
                sums.append((sum(left.get(node, self.weights[node]) for node in nodes), nodes))
            charge = min(sums)[0]
            if not charge:
                continue
            total += charge
            charged: dict[int, int] = {}
            for _, nodes in sorted(sums):
                missing = charge - sum(charged.get(node, 0) for node in nodes)
                for node in nodes:
                    if missing <= 0:
                        break
                    taken = min(missing, left.get(node, self.weights[node]) - charged.get(node, 0))
                    charged[node] = charged.get(node, 0) + taken
                    missing -= taken
            for node, taken in charged.items():
                left[node] = left.get(node, self.weights[node]) - taken
        return total

    def _close(self, held: int, ruled_out: int, weight: int) -> None:
        if weight >= self.best_weight:
            return
        standing = well_founded(self.needs, held)
        ring = held & ~standing
        if not ring:
            self.keep(held, weight)
            return
        for node in bits(ring):
            outside = [group & ~ring for group in self.needs[node] if not group & standing]
            if all(outside):
                self.go(held, ruled_out, weight, outside)

"""Supersession chains: which number may be used in place of which (2-domain, Cross-reference).

'New may be used in place of old' follows every supersession forwards, and backwards only those marked both ways,
transitively; with rework unless a path without rework exists. Numbers are nodes, compared in normal form, of one
issuer at a time.
"""

from collections import defaultdict, deque
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

BOTH_WAYS, WITH_REWORK = "both_ways", "with_rework"


@dataclass(frozen=True, slots=True)
class Step:
    """One recorded supersession: `new` takes the place of `old`."""

    old: str
    new: str
    exchange: str


@dataclass(slots=True)
class Chain:
    """The supersessions of one issuer."""

    steps: Iterable[Step]
    _newer: dict[str, dict[str, bool]] = field(init=False, repr=False)
    _instead: dict[str, dict[str, bool]] = field(init=False, repr=False)
    _in_place_of: dict[str, dict[str, bool]] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        self._newer, self._instead, self._in_place_of = (defaultdict(dict), defaultdict(dict), defaultdict(dict))
        for step in self.steps:
            rework = step.exchange == WITH_REWORK
            _keep_easier(self._newer[step.old], step.new, rework)
            _keep_easier(self._instead[step.old], step.new, rework)
            _keep_easier(self._in_place_of[step.new], step.old, rework)
            if step.exchange == BOTH_WAYS:
                _keep_easier(self._instead[step.new], step.old, False)
                _keep_easier(self._in_place_of[step.old], step.new, False)

    def replaced_by(self, number: str) -> dict[str, bool]:
        """Every number that may be used in place of `number`, with whether it takes rework.

        >>> Chain([Step("A", "B", "both_ways"), Step("B", "C", "with_rework")]).replaced_by("A")
        {'B': False, 'C': True}
        """
        return _reach(number, self._instead)

    def replaces(self, number: str) -> dict[str, bool]:
        """Every number in whose place `number` may be used, with whether it takes rework."""
        return _reach(number, self._in_place_of)

    def current(self, number: str) -> dict[str, bool]:
        """The ends reached from old to new, or the number itself, with whether they take rework."""
        reached = {number: False} | _reach(number, self._newer)
        return {end: rework for end, rework in reached.items() if not self._newer.get(end)}

    def nearest_forwards(self, number: str, wanted: Callable[[str], bool]) -> list[str]:
        """The numbers that are `wanted` among those the fewest steps forwards, in normal order."""
        seen, layer = {number}, [number]
        while layer:
            layer = sorted({new for old in layer for new in self._newer.get(old, ())} - seen)
            seen.update(layer)
            if found := [new for new in layer if wanted(new)]:
                return found
        return []


def _keep_easier(links: dict[str, bool], to: str, rework: bool) -> None:
    links[to] = links.get(to, True) and rework


def _reach(start: str, links: Mapping[str, Mapping[str, bool]]) -> dict[str, bool]:
    """Reachable numbers; True where every path takes rework. Paths without rework are walked first."""
    easy = _walk([start], lambda number: [to for to, rework in links.get(number, {}).items() if not rework])
    all_reached = _walk([start], lambda number: list(links.get(number, ())))
    return {number: number not in easy for number in sorted(all_reached) if number != start}


def _walk(starts: Iterable[str], onwards: Callable[[str], Iterable[str]]) -> set[str]:
    seen = set(starts)
    queue = deque(seen)
    while queue:
        for number in onwards(queue.popleft()):
            if number not in seen:
                seen.add(number)
                queue.append(number)
    return seen


def ring(steps: Iterable[Step]) -> list[str] | None:
    """The numbers of one ring of supersessions, in order, or None where there is none.

    >>> ring([Step("A", "B", "one_way"), Step("B", "A", "one_way")])
    ['A', 'B']
    """
    newer: dict[str, list[str]] = defaultdict(list)
    for step in steps:
        newer[step.old].append(step.new)
    done: set[str] = set()
    for start in sorted(newer):
        path: list[str] = []
        on_path: set[str] = set()
        stack: list[tuple[str, bool]] = [(start, False)]
        while stack:
            number, leaving = stack.pop()
            if leaving:
                path.pop()
                on_path.discard(number)
                done.add(number)
                continue
            if number in on_path:
                return path[path.index(number) :]
            if number in done:
                continue
            path.append(number)
            on_path.add(number)
            stack.append((number, True))
            stack.extend((new, False) for new in sorted(newer.get(number, ()), reverse=True))
    return None

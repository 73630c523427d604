"""Many components against many revisions: equal interfaces are matched once."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from catalog.codes import MatchVerdict
from fitment.domain.interfaces import Component, Demand, Place, Revision, demands_of
from fitment.engineering.interface import match

Key = tuple[str, str]
"""Part and letter."""


@dataclass
class Matching:
    """The verdict of any revision at any place of any component, each distinct question computed once.

    ``components`` by code, ``revisions`` by part and letter, ``demands`` by place. A place without a row asks what
    is not known.
    """

    components: Mapping[str, Component]
    revisions: Mapping[Key, Revision]
    demands: Mapping[Place, Demand]
    _verdicts: dict[tuple[object, ...], MatchVerdict] = field(default_factory=dict)
    _sorted: dict[tuple[int, int], dict[MatchVerdict, list[Key]]] = field(default_factory=dict)
    _alike: dict[object, int] = field(default_factory=dict)
    _numbers: dict[tuple[str, object], int] = field(default_factory=dict)

    def verdict(self, revision: Key, component: str, place: Place) -> MatchVerdict:
        """The verdict of one revision on one component at one place; both must be known."""
        key = (self._number("revision", revision), self._number("component", component), self._number("place", place))
        found = self._verdicts.get(key)
        if found is None:
            found = match(
                self.components[component], self.revisions[revision], demands_of([self._demand(place)])
            ).verdict
            self._verdicts[key] = found
        return found

    def by_verdict(self, component: str, place: Place) -> Mapping[MatchVerdict, Sequence[Key]]:
        """All revisions, in their order, by their verdict on one component at one place."""
        key = (self._number("component", component), self._number("place", place))
        found = self._sorted.get(key)
        if found is None:
            found = self._sorted[key] = {verdict: [] for verdict in MatchVerdict}
            for revision in self.revisions:
                found[self.verdict(revision, component, place)].append(revision)
        return found

    def __contains__(self, key: object) -> bool:
        """Whether ``(part, letter, component, axle, location)`` drops in."""
        if not isinstance(key, tuple):
            return False
        part, letter, component, axle, location = key
        if (part, letter) not in self.revisions or component not in self.components:
            return False
        return self.verdict((part, letter), component, Place(axle, location)) is MatchVerdict.DROPS_IN

    def _demand(self, place: Place) -> Demand:
        return self.demands.get(place) or Demand(place)

    def _number(self, kind: str, code: object) -> int:
        """A number that all equal interfaces share, whatever they are called."""
        number = self._numbers.get((kind, code))
        if number is None:
            number = self._alike.setdefault((kind, self._nameless(kind, code)), len(self._alike))
            self._numbers[kind, code] = number
        return number

    def _nameless(self, kind: str, code: object) -> object:
        if kind == "component":
            return replace(self.components[code], code="", outside_stated=())  # type: ignore[index]
        if kind == "revision":
            return replace(self.revisions[code], part="", letter="", status="", held=False)  # type: ignore[index]
        return replace(self._demand(code), place=Place("", ""))  # type: ignore[arg-type]

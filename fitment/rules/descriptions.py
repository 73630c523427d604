"""Complete descriptions of possible cars, and whether two sets of them differ in their outcomes. Pure.

A description gives every candidate attribute its value. What the outcomes read is spelt out in the `DescriptionRow`s. A
candidate that they do not read (an option no row asks for, the joint at another place) could still tell cars
apart, by which of them can have a value; it is kept as the row's profile: the values that each such candidate
may have there. Values that the same profiles allow are one and the same, so that ten such options are not
multiplied out: only the distinct sets of profiles they leave are.
"""

from collections.abc import Collection, Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import pairwise, product
from typing import NamedTuple, TypeVar

from catalog.codes import Verdict
from fitment.domain.facts import Place
from fitment.errors import TooMuchWork
from fitment.rules.attributes import Attribute
from fitment.rules.case import Case
from fitment.rules.derivations import Reasons
from fitment.rules.joint_site import State
from fitment.rules.outcome import OUTCOMES
from fitment.rules.possible_cars import CarCell, CarSpace, VariantRegion

MOST_FAMILIES = 20_000
MOST_ROWS = 100_000

Profile = tuple[frozenset[Hashable], ...]
Outcomes = tuple[tuple[Verdict, ...], ...]
Spelt = tuple[tuple[str, ...], int, tuple[str | None, ...]]
"""Values of texts, options and components that are spelt out."""
Pair = tuple[int, int]
"""The number of a profile and of an outcome."""


class DescriptionRow(NamedTuple):
    """Days on which cars of one description have an outcome."""

    first: int
    last: int
    spelt: Spelt
    pair: Pair


@dataclass(frozen=True, slots=True)
class DayStretch:
    """Days on which the rows are the same: the pairs of each description."""

    first: int
    last: int
    pairs: dict[Spelt, frozenset[Pair]]


Thing = TypeVar("Thing", bound=Hashable)


class Numbers(dict[Thing, int]):
    """A number for each thing met, so that things are compared by number."""

    def __missing__(self, thing: Thing) -> int:
        self[thing] = number = len(self)
        return number


class Descriptions:
    """The rows of some cases under some candidates (all but `built`)."""

    def __init__(self, space: CarSpace, cases: Sequence[Case], candidates: Sequence[Attribute]) -> None:
        self.texts = [one.name for one in candidates if one.kind == "text"]
        self.asked = space.bits.mask(one.option for one in candidates if one.kind == "option")
        self._only = cases[0] if len(cases) == 1 else None
        self._cases: dict[Place, list[Case]] = {}
        for case in cases:
            self._cases.setdefault(case.place, []).append(case)
        places = [one.place for one in candidates if one.kind == "component"]
        self.places = [place for place in places if place in self._cases]
        self.other_places = [place for place in places if place not in self._cases]
        self._groups = space.option_masks
        self.read = self._read_bits(space)
        self.blocks = [mask for mask in self._groups if mask & self.asked and not mask & self.read]
        self._profiles: Numbers[Profile] = Numbers()
        self._outcomes: Numbers[Outcomes] = Numbers()
        rows: dict[DescriptionRow, None] = {}
        for region in space:
            for row in self._region(region):
                rows[row] = None
                if len(rows) > MOST_ROWS:
                    raise TooMuchWork
        self.rows = tuple(rows)
        self.profiles = list(self._profiles)
        self._conflicts: dict[tuple[frozenset[Pair], frozenset[Pair]], bool] = {}

    @cached_property
    def stretches(self) -> tuple[DayStretch, ...]:
        """The rows day by day."""
        return tuple(_stretches(self.rows))

    def conflict(self, one: frozenset[Pair], other: frozenset[Pair]) -> bool:
        """Whether some description has different sets of outcomes with the one and the other pairs."""
        key = (one, other)
        if key not in self._conflicts:
            self._conflicts[key] = differ({0: one, 1: other}, self.profiles)
        return self._conflicts[key]

    def one_outcome_each(self, *, by_day: bool) -> bool:
        """Whether what is spelt out, with the day where `by_day`, leaves one outcome."""
        found: dict[Spelt, list[DescriptionRow]] = {}
        for row in self.rows:
            found.setdefault(row.spelt, []).append(row)
        for rows in found.values():
            if len({row.pair[1] for row in rows}) == 1:
                continue
            if not by_day:
                return False
            until = -1
            outcome = -1
            for row in sorted(rows):
                if row.first <= until and row.pair[1] != outcome:
                    return False
                if row.last > until:
                    until, outcome = row.last, row.pair[1]
        return True

    def block_of(self, attribute: Attribute, bit: int) -> int | None:
        """The position in a profile of a candidate that the rows do not spell out."""
        if attribute.kind == "option":
            return next((at for at, mask in enumerate(self.blocks) if mask & bit), None)
        if attribute.kind == "component" and attribute.place in self.other_places:
            return len(self.blocks) + self.other_places.index(attribute.place)
        return None

    def _read_bits(self, space: CarSpace) -> int:
        bits = 0
        for region in space:
            bits |= region.stated_bits
            for cases in self._cases.values():
                for case in cases:
                    bits |= case.bits(region)
            for place in self.other_places:
                site = region.sites[place]
                bits |= site.bits if site is not None else 0
        return sum(mask for mask in self._groups if mask & bits)

    def _region(self, region: VariantRegion) -> Iterator[DescriptionRow]:
        texts = tuple(region.variant.value(name) for name in self.texts)
        unread = tuple(self._block(region, mask) for mask in self.blocks)
        sites = [region.sites[place] for place in self.other_places]
        cuts = set().union(
            *(case.cuts(region) for cases in self._cases.values() for case in cases),
            *(site.cuts for site in sites if site is not None),
        )
        for cell in region.cells(self.read, cuts):
            day, mask = cell.first, cell.mask
            joints = tuple(_answers(region.state(place, day, mask)) for place in self.other_places)
            profile = self._profiles[*unread, *joints]
            options = mask & self.asked & self.read
            for components, outcomes in self._filled(region, cell):
                yield DescriptionRow(
                    cell.first, cell.last, (texts, options, components), (profile, self._outcomes[outcomes])
                )

    def _filled(self, region: VariantRegion, cell: CarCell) -> Iterator[tuple[tuple[str | None, ...], Outcomes]]:
        """Every way the cases' places may be filled in a cell, with the outcomes."""
        day, mask = cell.first, cell.mask
        if self._only is not None:
            for outcome in self._only.at(region, day, mask):
                yield (outcome.component,) if self.places else (), (outcomes_of(outcome.reasons),)
            return
        choices = []
        for place, cases in self._cases.items():
            several = zip(*(case.at(region, day, mask) for case in cases), strict=True)
            choices.append([(place, at[0].component, tuple(outcomes_of(one.reasons) for one in at)) for at in several])
        for chosen in product(*choices):
            found = {place: component for place, component, _ in chosen}
            outcomes = tuple(outcome for _, _, several in chosen for outcome in several)
            yield tuple(found[place] for place in self.places), outcomes

    def _block(self, region: VariantRegion, mask: int) -> frozenset[Hashable]:
        """The values, as far as they are asked for, that a region allows for a group nobody reads."""
        group = next((group for group in region.groups if group.bits & mask), None)
        values = region.allowed(group) if group is not None else (0,)
        return frozenset((value | region.fixed) & mask & self.asked for value in values)


@lru_cache(maxsize=4096)
def outcomes_of(reasons: Reasons) -> tuple[Verdict, ...]:
    """The outcomes of reasons, without the reasons."""
    return tuple(OUTCOMES[reason] for reason in reasons)


def _stretches(rows: Sequence[DescriptionRow]) -> Iterator[DayStretch]:
    """The rows day by day, in stretches on which they are the same."""
    starts = sorted({row.first for row in rows} | {row.last + 1 for row in rows})
    for first, after in pairwise(starts):
        pairs: dict[Spelt, set[Pair]] = {}
        for row in rows:
            if row.first <= first <= row.last:
                pairs.setdefault(row.spelt, set()).add(row.pair)
        if pairs:
            yield DayStretch(first, after - 1, {spelt: frozenset(several) for spelt, several in pairs.items()})


def _answers(state: State) -> frozenset[Hashable]:
    return frozenset(state) if state else frozenset({None})


def differ(groups: Mapping[Hashable, Collection[Pair]], profiles: Sequence[Profile]) -> bool:
    """Whether some description has different sets of outcomes under two answers.

    The pairs of each answer agree in all that is spelt out; a description is a value for each entry of the
    profile, and has the outcomes of those pairs whose profiles allow its values.
    """
    if len(groups) < 2 or len({outcome for pairs in groups.values() for _, outcome in pairs}) < 2:
        return False
    here = list({profile: None for pairs in groups.values() for profile, _ in pairs})
    position = {profile: at for at, profile in enumerate(here)}
    for allowed in families([profiles[profile] for profile in here]):
        found: set[frozenset[int]] = set()
        for pairs in groups.values():
            outcomes = frozenset(outcome for profile, outcome in pairs if allowed >> position[profile] & 1)
            if outcomes:
                found.add(outcomes)
        if len(found) > 1:
            return True
    return False


def families(profiles: Sequence[Profile]) -> set[int]:
    """The sets of profiles (as bits) that one value for each entry leaves, but the empty one.

    >>> sorted(families([(frozenset("ab"),), (frozenset("a"),)]))
    [1, 3]
    """
    found = {(1 << len(profiles)) - 1}
    if len(profiles) == 1:
        return found
    for entry in range(len(profiles[0])):
        by_value: dict[Hashable, int] = {}
        for position, profile in enumerate(profiles):
            for value in profile[entry]:
                by_value[value] = by_value.get(value, 0) | 1 << position
        masks = set(by_value.values())
        found = {left for one in found for mask in masks if (left := one & mask)}
        if len(found) > MOST_FAMILIES:
            raise TooMuchWork
    return found

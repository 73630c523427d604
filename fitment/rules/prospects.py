"""What each attribute would tell, were it asked: how much its answers weigh, and what they would settle. Pure."""

from bisect import bisect_right
from collections.abc import Collection, Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from fitment.domain.facts import Place
from fitment.rules.attributes import Attribute, with_two_answers
from fitment.rules.case import NOWHERE, Case
from fitment.rules.descriptions import Descriptions
from fitment.rules.places import PlaceOccupants
from fitment.rules.possible_cars import CarSpace, VariantRegion, Weight, closed

AnswerValue = Hashable
"""A value of an attribute; None for no component; the position of an interval for `built`."""
Days = tuple[int, ...]
"""The first days of the intervals that are the answers to `built`; none for any other attribute."""


@dataclass(slots=True)
class Share:
    """The weight of the possible cars with an answer, and how many variants some of them are of."""

    weight: Weight = 0
    variants: int = 0


class Prospects:
    """Weights and outcomes of the answers to each attribute, worked out once for all that is asked of a car space."""

    def __init__(self, space: CarSpace, occupants: Mapping[Place, PlaceOccupants]) -> None:
        self.space = space
        self.attributes = with_two_answers(space, occupants)
        self._shares: dict[tuple[str, Days], Mapping[AnswerValue, Share]] = {}
        self._depends: dict[tuple[Case, str, Days], Mapping[AnswerValue, bool]] = {}
        self._descriptions: dict[tuple[Case, tuple[Attribute, ...]], Descriptions] = {}

    def descriptions(self, case: Case, candidates: Sequence[Attribute]) -> Descriptions:
        """The complete descriptions of one case under some candidates."""
        key = (case, tuple(candidates))
        if key not in self._descriptions:
            self._descriptions[key] = Descriptions(self.space, [case], candidates)
        return self._descriptions[key]

    def shares(self, attribute: Attribute, days: Days) -> Mapping[AnswerValue, Share]:
        """The share of each answer."""
        key = (attribute.name, days)
        if key not in self._shares:
            self._shares[key] = self._weighed(attribute, days)
        return self._shares[key]

    def depends(self, case: Case, attribute: Attribute, days: Days) -> Mapping[AnswerValue, bool]:
        """Whether a case is still `depends` under each answer: a revision fits some car, and none fits all."""
        key = (case, attribute.name, days)
        if key not in self._depends:
            fits: dict[AnswerValue, tuple[int, int]] = {}
            for region in self.space:
                for answer, some, every in self._fits(region, case, attribute, days):
                    known_some, known_every = fits.get(answer, (0, -1))
                    fits[answer] = known_some | some, known_every & every
            self._depends[key] = {answer: bool(some) and not every for answer, (some, every) in fits.items()}
        return self._depends[key]

    def _weighed(self, attribute: Attribute, days: Days) -> Mapping[AnswerValue, Share]:
        found: dict[AnswerValue, Share] = {}
        for region in self.space:
            seen: dict[AnswerValue, Weight] = {}
            for answer, weight in self._weighed_in(region, attribute, days):
                seen[answer] = seen.get(answer, 0) + weight
            for answer, weight in seen.items():
                share = found.setdefault(answer, Share())
                share.weight += self.space.weight(region, weight)
                share.variants += 1
        return found

    def _weighed_in(
        self, region: VariantRegion, attribute: Attribute, days: Days
    ) -> Iterator[tuple[AnswerValue, Weight]]:
        """What one region adds to the weight of each answer, in its units."""
        if attribute.kind in ("text", "variant"):
            yield attribute.of(region.variant), sum(map(region.weight, region.stated_cells))
        elif attribute.kind == "built":
            for cell in region.cells(0, days):
                yield bisect_right(days, cell.first) - 1, region.weight(cell)
        elif attribute.kind == "option":
            bit = self.space.bits.bit(attribute.option)
            for cell in region.cells(bit):
                yield bool(cell.mask & bit), region.weight(cell)
        else:
            site = region.sites[attribute.place]
            for cell in region.cells(site.bits, site.cuts) if site else region.stated_cells:
                state = region.state(attribute.place, cell.first, cell.mask) or (None,)
                weight = region.weight(cell)
                for answer in state:
                    yield answer, weight if len(state) == 1 else weight * Fraction(1, len(state))

    def _fits(
        self, region: VariantRegion, case: Case, attribute: Attribute, days: Days
    ) -> Iterator[tuple[AnswerValue, int, int]]:
        """Under each answer in a region, the revisions that fit some car and those that fit all, in pieces."""
        answers = self._independent_answers(region, case, attribute)
        if answers is None:
            for answer, fits in self._joint_answers(region, case, attribute, days):
                yield answer, fits, fits
            return
        some, every = case.fitting(region)
        for answer in answers:
            yield answer, some, every

    def _independent_answers(
        self, region: VariantRegion, case: Case, attribute: Attribute
    ) -> Collection[AnswerValue] | None:
        """The answers in a region where they and the case's outcomes do not depend on each other there, else None."""
        if attribute.kind in ("text", "variant"):
            return (attribute.of(region.variant),)
        if attribute.kind == "option":
            bit = self.space.bits.bit(attribute.option)
            group = next((group for group in region.groups if group.bits & bit), None)
            if group is None:
                return (bool(region.fixed & bit),)
            read = case.bits(region) | region.stated_bits
            return None if group.bits & read else {bool(value & bit) for value in group.values}
        if attribute.kind != "component" or case.place == attribute.place:
            return None
        site = region.sites[attribute.place]
        if site is None:
            return (None,)
        bits, cuts = case.bits(region) | region.stated_bits, case.cuts(region) | region.stated_cuts
        if (site.cuts and cuts) or closed(region.groups, site.bits) & closed(region.groups, bits):
            return None
        cells = region.cells(site.bits, site.cuts)
        return {answer for cell in cells for answer in region.state(attribute.place, cell.first, cell.mask) or (None,)}

    def _joint_answers(
        self, region: VariantRegion, case: Case, attribute: Attribute, days: Days
    ) -> Iterator[tuple[AnswerValue, int]]:
        """Every answer in a region with the revisions that fit there, the two read together."""
        if attribute.kind == "built":
            for row in case.rows(region, 0, frozenset(days)):
                yield bisect_right(days, row.cell.first) - 1, row.fits
        elif attribute.kind == "option":
            bit = self.space.bits.bit(attribute.option)
            for row in case.rows(region, bit):
                yield bool(row.cell.mask & bit), row.fits
        elif attribute.place == case.place:
            for row in case.rows(region):
                yield row.component, row.fits
        else:
            site = region.sites[attribute.place]
            bits, cuts = (site.bits, site.cuts) if site else (0, NOWHERE)
            for row in case.rows(region, bits, cuts):
                for answer in region.state(attribute.place, row.cell.first, row.cell.mask) or (None,):
                    yield answer, row.fits

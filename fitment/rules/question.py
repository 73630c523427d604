"""The next question: the attribute that leaves the fewest `depends` on average, with exact weights. Pure."""

from bisect import bisect_right
from collections import Counter
from collections.abc import Collection, Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from itertools import pairwise

from fitment.domain.facts import Place
from fitment.rules.attribute_relevance import DayInterval, Relevance
from fitment.rules.attributes import BUILT, PLATFORM_ORDER, VARIANT, Attribute, text, with_two_answers
from fitment.rules.case import Case, fit_bits
from fitment.rules.descriptions import Descriptions
from fitment.rules.places import PlaceOccupants
from fitment.rules.possible_cars import CarSpace, VariantRegion, Weight, closed
from fitment.rules.verdict import Tally

Answer = Hashable
"""A value of an attribute; None for no component; the position of an interval for `built`."""


@dataclass(frozen=True, slots=True)
class ChosenQuestion:
    """A question: its answers in order (None, no component, is not among them), and what it leaves on average.

    For each answer `left` has how many `depends` it leaves (empty where nothing could be computed), `cars` how many
    variants.
    """

    attribute: Attribute
    answers: tuple[Answer, ...]
    expected: Fraction
    intervals: tuple[DayInterval, ...] = ()
    left: tuple[int, ...] = ()
    cars: tuple[int, ...] = ()


class QuestionChooser:
    """What to ask so that the cases, all of them `depends`, are settled."""

    def __init__(
        self,
        space: CarSpace,
        cases: Sequence[Case],
        occupants: dict[Place, PlaceOccupants],
        skipped: Collection[str] = (),
    ) -> None:
        self._space = space
        self._cases = cases
        self._views = occupants
        self._skipped = skipped
        self._others = with_two_answers(space, occupants, skipped)

    @cached_property
    def _relevance(self) -> Relevance:
        """What descriptions say of the cases: each for itself where it leaves one outcome, the others together."""
        by_day = BUILT.name not in self._skipped
        alone: list[Descriptions] = []
        together: list[Case] = []
        for case in self._cases:
            table = Descriptions(self._space, [case], self._others)
            if len(self._cases) == 1 or table.one_outcome_each(by_day=by_day):
                alone.append(table)
            else:
                together.append(case)
        if together:
            alone.append(Descriptions(self._space, together, self._others))
        return Relevance(self._space, alone)

    @cached_property
    def intervals(self) -> tuple[DayInterval, ...]:
        """The answers of `built` where it is a candidate, else empty."""
        if BUILT.name in self._skipped:
            return ()
        found = self._relevance.intervals
        return found if len(found) > 1 else ()

    @cached_property
    def candidates(self) -> list[Attribute]:
        found = [*self._others, BUILT] if self.intervals else self._others
        return sorted(found, key=lambda one: one.order)

    def is_relevant(self, attribute: Attribute) -> bool:
        return self._relevance.is_relevant(attribute, self.intervals)

    def relevant(self) -> list[Attribute]:
        """The candidates that matter on their own."""
        return [one for one in self.candidates if self.is_relevant(one)]

    def next(self) -> ChosenQuestion | None:
        """The question to ask, or None."""
        asked = self._chosen()
        return None if asked is None else replace(asked, cars=self._cars(asked))

    def _cars(self, asked: ChosenQuestion) -> tuple[int, ...]:
        """The variants of which some possible car has each answer."""
        counts: Counter[Answer] = Counter()
        for region in self._space:
            counts.update({answer for answer, _ in self._weighed_in(region, asked.attribute)})
        return tuple(counts[answer] for answer in asked.answers)

    def _chosen(self) -> ChosenQuestion | None:
        left = {one: self._asked(one) for one in self.candidates}
        least = min((asked.expected for asked in left.values()), default=None)
        tied = [one for one in self.candidates if left[one].expected == least]
        if len(tied) == 1 and least is not None and least < len(self._cases):
            return left[tied[0]]
        for one in tied:
            if self.is_relevant(one):
                return left[one]
        if least is not None and least < len(self._cases):
            return left[tied[0]]
        if len(self._space) > 1 and VARIANT.name not in self._skipped:
            return self._asked(VARIANT)
        if self.candidates and not self._skipped:
            return left[self.candidates[0]]
        return None

    def _asked(self, attribute: Attribute) -> ChosenQuestion:
        weights = self._weights(attribute)
        depends = [self._depends(case, attribute) for case in self._cases]
        left = {answer: sum(one[answer] for one in depends) for answer in weights}
        whole = sum(weights.values())
        if not whole:
            weights, whole = dict.fromkeys(weights, 1), len(weights)
        expected = Fraction(sum(weights[answer] * left[answer] for answer in weights)) / whole
        offered = sorted((answer for answer in weights if answer is not None), key=_answer_order)
        intervals = self.intervals if attribute == BUILT else ()
        return ChosenQuestion(attribute, tuple(offered), expected, intervals, tuple(left[answer] for answer in offered))

    def _weights(self, attribute: Attribute) -> Mapping[Answer, Weight]:
        """The weight of each answer; only the intervals of `built` are this question's own."""
        if attribute == BUILT:
            return self._weighed(attribute)
        known = self._space.weights
        if attribute.name not in known:
            known[attribute.name] = self._weighed(attribute)
        return known[attribute.name]

    def _weighed(self, attribute: Attribute) -> Mapping[Answer, Weight]:
        found: dict[Answer, Weight] = {}
        for region in self._space:
            for answer, weight in self._weighed_in(region, attribute):
                found[answer] = found.get(answer, 0) + self._space.weight(region, weight)
        return found

    def _weighed_in(self, region: VariantRegion, attribute: Attribute) -> Iterator[tuple[Answer, Weight]]:
        """What one region adds to the weight of each answer, in its units."""
        if attribute.kind in ("text", "variant"):
            yield _own(region, attribute), sum(map(region.weight, region.stated_cells))
        elif attribute.kind == "built":
            for cell in region.cells(0, self._starts):
                yield self._interval_of(cell.first), region.weight(cell)
        elif attribute.kind == "option":
            bit = self._space.bits.bit(attribute.option)
            for cell in region.cells(bit):
                yield bool(cell.mask & bit), region.weight(cell)
        else:
            site = region.sites[attribute.place]
            for cell in region.cells(site.bits, site.cuts) if site else region.stated_cells:
                state = region.state(attribute.place, cell.first, cell.mask) or (None,)
                weight = region.weight(cell)
                for answer in state:
                    yield answer, weight if len(state) == 1 else weight * Fraction(1, len(state))

    def _depends(self, case: Case, attribute: Attribute) -> Mapping[Answer, bool]:
        """Whether a case is still `depends` under each answer."""
        if attribute == BUILT:
            return self._settled(case, attribute)
        if attribute.name not in case.depends:
            case.depends[attribute.name] = self._settled(case, attribute)
        return case.depends[attribute.name]

    def _settled(self, case: Case, attribute: Attribute) -> Mapping[Answer, bool]:
        tallies: dict[Answer, Tally] = {}
        for region in self._space:
            for answer, some, every in self._fits(region, case, attribute):
                if answer not in tallies:
                    tallies[answer] = Tally()
                tallies[answer].add(some, every)
        return {answer: tally.depends for answer, tally in tallies.items()}

    def _fits(self, region: VariantRegion, case: Case, attribute: Attribute) -> Iterator[tuple[Answer, int, int]]:
        """Under each answer in a region, the revisions that fit some car and those that fit all, in pieces."""
        answers: Collection[Answer] | None = None
        if attribute.kind in ("text", "variant"):
            answers = (_own(region, attribute),)
        elif attribute.kind == "option":
            bit = self._space.bits.bit(attribute.option)
            group = next((group for group in region.groups if group.bits & bit), None)
            if group is None:
                answers = (bool(region.fixed & bit),)
            elif not group.bits & (case.bits(region) | region.stated_bits):
                answers = {bool(value & bit) for value in group.values}
        elif attribute.kind == "component":
            answers = self._apart(region, case, attribute.place)
        if answers is None:
            for answer, bits in self._pieces(region, case, attribute):
                yield answer, bits, bits
            return
        some, every = case.fitting(region)
        for answer in answers:
            yield answer, some, every

    def _apart(self, region: VariantRegion, case: Case, place: Place) -> set[Answer] | None:
        """The answers at another place, where neither day nor option ties them to the case; else None."""
        site = region.sites[place]
        if site is None:
            return {None}
        if case.place == place:
            return None
        bits, cuts = case.bits(region) | region.stated_bits, case.cuts(region) | region.stated_cuts
        if (site.cuts and cuts) or closed(region.groups, site.bits) & closed(region.groups, bits):
            return None
        cells = region.cells(site.bits, site.cuts)
        return {answer for cell in cells for answer in region.state(place, cell.first, cell.mask) or (None,)}

    def _pieces(self, region: VariantRegion, case: Case, attribute: Attribute) -> Iterator[tuple[Answer, int]]:
        """Every answer in a region with the revisions that fit there, the two read together."""
        if attribute.kind == "built":
            for row in case.rows(region, 0, self._starts):
                yield self._interval_of(row.cell.first), fit_bits(row.reasons)
        elif attribute.kind == "option":
            bit = self._space.bits.bit(attribute.option)
            for row in case.rows(region, bit):
                yield bool(row.cell.mask & bit), fit_bits(row.reasons)
        elif attribute.place == case.place:
            for row in case.rows(region):
                yield row.component, fit_bits(row.reasons)
        else:
            site = region.sites[attribute.place]
            bits, cuts = (site.bits, site.cuts) if site else (0, frozenset())
            for row in case.rows(region, bits, cuts):
                for answer in region.state(attribute.place, row.cell.first, row.cell.mask) or (None,):
                    yield answer, fit_bits(row.reasons)

    @cached_property
    def _starts(self) -> list[int]:
        return [interval.first for interval in self.intervals]

    def _interval_of(self, day: int) -> int:
        return bisect_right(self._starts, day) - 1


def platform_question(space: CarSpace, skipped: Collection[str]) -> ChosenQuestion | None:
    """What tells several platforms apart: the first of the order that has two answers among the variants left."""
    for name in PLATFORM_ORDER:
        if name in skipped:
            continue
        if name == BUILT.name:
            intervals, cars = _days_of_variants(space)
            if len(intervals) > 1:
                return ChosenQuestion(BUILT, tuple(range(len(intervals))), Fraction(0), intervals, cars=cars)
        else:
            counts = Counter(getattr(region.variant, name) for region in space)
            if len(counts) > 1:
                values = sorted(counts)
                return ChosenQuestion(
                    text(name), tuple(values), Fraction(0), cars=tuple(counts[value] for value in values)
                )
    return None


def _days_of_variants(space: CarSpace) -> tuple[tuple[DayInterval, ...], tuple[int, ...]]:
    """The possible days, split where the set of variants changes, and how many variants each interval has."""
    spans = [(cell.first, cell.last, region.variant.code) for region in space for cell in region.stated_cells]
    starts = sorted({first for first, _, _ in spans} | {last + 1 for _, last, _ in spans})
    found: list[tuple[DayInterval, set[str]]] = []
    for first, after in pairwise(starts):
        there = {code for begin, end, code in spans if begin <= first <= end}
        if not there:
            continue
        if found and found[-1][1] == there:
            found[-1] = (DayInterval(found[-1][0].first, after - 1), there)
        else:
            found.append((DayInterval(first, after - 1), there))
    return tuple(interval for interval, _ in found), tuple(len(there) for _, there in found)


def _own(region: VariantRegion, attribute: Attribute) -> str:
    value: str = region.variant.code if attribute.kind == "variant" else getattr(region.variant, attribute.name)
    return value


def _answer_order(answer: Answer) -> tuple[bool, int, str]:
    """Yes before no, intervals by time, texts by letter."""
    if isinstance(answer, bool):
        return False, not answer, ""
    return (False, answer, "") if isinstance(answer, int) else (True, 0, str(answer))

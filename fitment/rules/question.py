"""The next question: the attribute that leaves the fewest `depends` on average, with exact weights. Pure."""

from collections import Counter
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import pairwise

from catalog.codes import PLATFORM_ORDER
from fitment.rules.attribute_relevance import DayInterval, Relevance
from fitment.rules.attributes import BUILT, VARIANT, Attribute, text
from fitment.rules.case import Case
from fitment.rules.descriptions import Descriptions
from fitment.rules.possible_cars import CarSpace
from fitment.rules.prospects import AnswerValue, Days, Prospects, Share


@dataclass(frozen=True, slots=True)
class ChosenQuestion:
    """A question: its answers in order (None, no component, is not among them), and what it leaves on average.

    For each answer `left` has how many `depends` it leaves (empty where nothing could be computed), `cars` how many
    variants.
    """

    attribute: Attribute
    answers: tuple[AnswerValue, ...]
    expected: Fraction
    intervals: tuple[DayInterval, ...] = ()
    left: tuple[int, ...] = ()
    cars: tuple[int, ...] = ()


class QuestionChooser:
    """What to ask so that the cases, all of them `depends`, are settled."""

    def __init__(self, prospects: Prospects, cases: Sequence[Case], skipped: Collection[str] = ()) -> None:
        self._prospects = prospects
        self._space = prospects.space
        self._cases = cases
        self._skipped = skipped
        self._others = [one for one in prospects.attributes if one.name not in skipped]

    @cached_property
    def _relevance(self) -> Relevance:
        """What descriptions say of the cases: each for itself where it leaves one outcome, the others together."""
        by_day = BUILT.name not in self._skipped
        alone: list[Descriptions] = []
        together: list[Case] = []
        for case in self._cases:
            descriptions = self._prospects.descriptions(case, self._others)
            if len(self._cases) == 1 or descriptions.one_outcome_each(by_day=by_day):
                alone.append(descriptions)
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
        left = {one: self._asked(one) for one in self.candidates}
        fewest = min((asked.expected for asked in left.values()), default=None)
        tied = [one for one in self.candidates if left[one].expected == fewest]
        lowers = fewest is not None and fewest < len(self._cases)
        if len(tied) == 1 and lowers:
            return left[tied[0]]
        for one in tied:
            if self.is_relevant(one):
                return left[one]
        if lowers:
            return left[tied[0]]
        if len(self._space) > 1 and VARIANT.name not in self._skipped:
            return self._asked(VARIANT)
        if self.candidates and not self._skipped:
            return left[self.candidates[0]]
        return None

    def _asked(self, attribute: Attribute) -> ChosenQuestion:
        intervals = self.intervals if attribute == BUILT else ()
        days: Days = tuple(interval.first for interval in intervals)
        shares = self._prospects.shares(attribute, days)
        depends = [self._prospects.depends(case, attribute, days) for case in self._cases]
        left = {answer: sum(one[answer] for one in depends) for answer in shares}
        whole = sum(share.weight for share in shares.values())
        if not whole:
            shares, whole = {answer: Share(1, share.variants) for answer, share in shares.items()}, len(shares)
        expected = Fraction(sum(share.weight * left[answer] for answer, share in shares.items())) / whole
        offered = tuple(sorted((answer for answer in shares if answer is not None), key=_answer_order))
        return ChosenQuestion(
            attribute,
            offered,
            expected,
            intervals,
            left=tuple(left[answer] for answer in offered),
            cars=tuple(shares[answer].variants for answer in offered),
        )


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
            counts = Counter(region.variant.value(name) for region in space)
            if len(counts) > 1:
                values = tuple(sorted(counts))
                return ChosenQuestion(text(name), values, Fraction(0), cars=tuple(counts[value] for value in values))
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


def _answer_order(answer: AnswerValue) -> tuple[bool, int, str]:
    """Yes before no, intervals by time, texts by letter."""
    if isinstance(answer, bool):
        return False, not answer, ""
    return (False, answer, "") if isinstance(answer, int) else (True, 0, str(answer))

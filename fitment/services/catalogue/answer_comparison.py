"""The answers and the job minutes that a change of the catalogue changes, for cars known by their variant.

Minutes are those of the job of one answer: both sides, with everything a shop has.

Only what could change is compared (`affected`), with the same rules that answer questions; facts are read past
the cache, since what is seen here may be rolled back.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Any, TypeVar

from catalog.codes import End
from catalog.models import Part, Variant
from catalog.workbook.draft import Draft
from catalog.workbook.loading import Progress
from catalog.workbook.report import AnswerDifference, CarsDifference, Differences, MinutesDifference, Reach
from fitment.domain.description import Description
from fitment.domain.facts import Facts, Place
from fitment.domain.procedures import Goal
from fitment.job.access_plan import CostliestCar, costliest_car
from fitment.job.job_cars import job_cars
from fitment.readers.cars import read_axles, read_cars
from fitment.readers.editions import uncached
from fitment.readers.interfaces import read_matching
from fitment.readers.parts import parts_decided_for, read_parts
from fitment.readers.procedures import PartsReader, read_workshop
from fitment.rules.case import Case
from fitment.rules.changes import AnswerKey, BareAnswer, ListedAnswer, bare_answers, differing
from fitment.rules.possible_cars import CarSpace
from fitment.services.catalogue.affected import Scope, scope_of

AT_ONCE = 400  # variants whose facts are read together
BOTH_SIDES = 2
Alike = dict[tuple[Any, ...], list[str]]
"""Axle, end, location, part, and what was and becomes there -> the variants for which it does."""
D = TypeVar("D", bound=CarsDifference)


@dataclass(slots=True)
class CarAnswers:
    """What is answered of one car: its axles, its cars in operation, answers and minutes by place and part."""

    axles: dict[str, str | None]
    in_operation: int
    answers: dict[AnswerKey, BareAnswer] = field(default_factory=dict)
    minutes: dict[AnswerKey, float | None] = field(default_factory=dict)


class AnswerComparison:
    """Answers before and after, inside the transaction of a load."""

    def __init__(self) -> None:
        self._scope = Scope()
        self._before: dict[str, CarAnswers] = {}
        self._codes: tuple[list[str], list[str]] = ([], [])

    def before(self, draft: Draft, progress: Progress, /) -> None:
        """Answers as they stand, of all that the draft could touch."""
        self._scope = scope_of(draft)
        self._codes = (sorted(self._scope.variants), self._scope.cars())
        self._before = self._answer(progress, 0)

    def after(self, progress: Progress, /) -> Differences:
        """What differs now that the draft is written."""
        then = self._answer(progress, sum(map(len, self._codes)))
        return differences(self._before, then)

    def _answer(self, progress: Progress, done: int) -> dict[str, CarAnswers]:
        found: dict[str, CarAnswers] = {}
        total = 2 * sum(map(len, self._codes))
        with uncached():
            for whole, codes in zip((True, False), self._codes, strict=True):
                for at in range(0, len(codes), AT_ONCE):
                    some = codes[at : at + AT_ONCE]
                    found |= _answers_of(some, self._scope, whole=whole)
                    done += len(some)
                    progress("answers compared", done, total)
        return found


def _answers_of(codes: Sequence[str], scope: Scope, *, whole: bool) -> dict[str, CarAnswers]:
    facts = _read_facts(codes, scope, whole=whole)
    minutes = _Minutes(tuple(sorted(facts.axles)), tuple(sorted(facts.parts)))
    found = {}
    for car in facts.variants:
        space = CarSpace(replace(facts, variants=(car,)), Description(variant=car.code))
        standing = bare_answers(space, lambda place, part, car=car: scope.wants(car, place, part))  # type: ignore[misc]
        found[car.code] = CarAnswers(
            {end: car.axle(end) for end in End},
            car.in_operation,
            {cell: one.bare for cell, one in standing.items()},
            {cell: minutes.of(space, cell[0], one) for cell, one in standing.items() if one.named is not None},
        )
    return found


def _read_facts(codes: Sequence[str], scope: Scope, *, whole: bool) -> Facts:
    cars, options = read_cars(Variant.objects.filter(code__in=codes))
    locations = None if whole else scope.locations()
    places = None if locations is None else [(end, location) for end in End for location in locations]
    axles = read_axles({axle for car in cars for end in End if (axle := car.axle(end)) is not None}, places)
    components = {joint.component for axle in axles.values() for joints in axle.joints.values() for joint in joints}
    decided = Part.objects.filter(pk__in=parts_decided_for(components))
    wanted = None if whole else scope.parts()
    parts = read_parts(decided if wanted is None else decided.filter(code__in=wanted), components)
    drops_in = read_matching(components, list(parts), list(axles))
    return Facts(variants=cars, axles=axles, options=options, parts=parts, drops_in=drops_in)


class _Minutes:
    """Plans for the cars of a few axles; cars from which the same steps are absent share a plan."""

    def __init__(self, axles: tuple[str, ...], parts: tuple[str, ...]) -> None:
        self._workshop = read_workshop(axles)
        self._parts = PartsReader(parts, axles)
        self._known: dict[object, float | None] = {}

    def of(self, space: CarSpace, place: Place, standing: ListedAnswer) -> float | None:
        """Minutes without after-work, None where the answer names no revision or there is no plan."""
        if standing.named is None or not self._has_way(space, place):
            return None
        part, letter = standing.part.code, standing.named.letter
        cars = job_cars(space, [Case(space, standing.part, place, (standing.named,))], self._workshop)
        key = (place, part, letter, tuple((tuple(car.axles.items()), car.absent) for car in cars))
        if key not in self._known:
            goal = Goal(self._parts.part(part, letter), *place)
            shown = costliest_car(self._workshop, cars, [goal], BOTH_SIDES, self._workshop.pieces())
            self._known[key] = float(shown.plan.minutes) if isinstance(shown, CostliestCar) else None
        return self._known[key]

    def _has_way(self, space: CarSpace, place: Place) -> bool:
        end, location = place
        for region in space:
            axle = self._workshop.axles.get(region.variant.axle(end) or "")
            if axle is not None and location in axle.locations and axle.locations[location].ways:
                return True
        return False


def differences(before: dict[str, CarAnswers], after: dict[str, CarAnswers]) -> Differences:
    """The answers and minutes that differ, alike ones together: by axle, location, part and what they become."""
    answers: Alike = defaultdict(list)
    minutes: Alike = defaultdict(list)
    cars: dict[str, int] = {}
    none = CarAnswers({}, 0)
    for code in sorted(before.keys() | after.keys()):
        old, new = before.get(code, none), after.get(code, none)
        cars[code] = (after.get(code) or before[code]).in_operation
        for cell, was, becomes in differing(old.answers, new.answers):
            answers[*_place(old, new, cell), was, becomes].append(code)
        for cell in old.minutes.keys() & new.minutes.keys():
            if old.minutes[cell] != new.minutes[cell]:
                minutes[*_place(old, new, cell), old.minutes[cell], new.minutes[cell]].append(code)
    return Differences(
        _in_order(AnswerDifference, answers, cars),
        _in_order(MinutesDifference, minutes, cars),
        _reach(answers, cars),
        _reach(minutes, cars),
    )


def _place(old: CarAnswers, new: CarAnswers, cell: AnswerKey) -> tuple[str, str, str, str]:
    (end, location), part = cell
    return new.axles.get(end) or old.axles.get(end) or "", end, location, part


def _in_order(kind: type[D], alike: Alike, cars: dict[str, int]) -> list[D]:
    found = []
    for key in sorted(alike, key=lambda key: tuple(map(str, key))):
        axle, end, location, part, *sides = key
        before, after = (side.as_json() if isinstance(side, BareAnswer) else side for side in sides)
        cars_of = sum(cars[code] for code in alike[key])
        found.append(kind(axle, end, location, part, before, after, tuple(alike[key]), cars_of))
    return found


def _reach(alike: Alike, cars: dict[str, int]) -> Reach:
    variants = {code for codes in alike.values() for code in codes}
    return Reach(len(alike), len(variants), sum(cars[code] for code in variants))

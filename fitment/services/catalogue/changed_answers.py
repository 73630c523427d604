"""The answers and the job minutes that a change of the catalogue changes, for cars known by their variant.

Only what could change is compared (`touched`), with the same rules that answer questions; facts are read past
the cache, since what is seen here may be rolled back.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from catalog.codes import End
from catalog.models import Part, Variant
from catalog.workbook.draft import Draft
from catalog.workbook.loading import Progress
from catalog.workbook.report import AnswerDifference, Differences, MinutesDifference, Reach
from fitment.domain.description import Description
from fitment.domain.facts import Facts
from fitment.readers.cars import read_axles, read_cars
from fitment.readers.editions import uncached
from fitment.readers.interfaces import read_matching
from fitment.readers.parts import parts_decided_for, read_parts
from fitment.rules.changes import AnswerKey, BareAnswer, bare_answers, differing
from fitment.rules.possible_cars import CarSpace
from fitment.services.catalogue.changed_minutes import Minutes
from fitment.services.catalogue.changed_scope import Scope, scope_of
from fitment.services.catalogue.touched import touched_by

AT_ONCE = 400  # variants whose facts are read together


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
        self._scope = scope_of(touched_by(draft))
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
                for some in _pieces(codes):
                    found |= _answers_of(some, self._scope, whole=whole)
                    done += len(some)
                    progress("answers compared", done, total)
        return found


def _pieces(codes: Sequence[str]) -> Iterator[Sequence[str]]:
    for at in range(0, len(codes), AT_ONCE):
        yield codes[at : at + AT_ONCE]


def _answers_of(codes: Sequence[str], scope: Scope, *, whole: bool) -> dict[str, CarAnswers]:
    facts = _read_facts(codes, scope, whole=whole)
    minutes = Minutes(tuple(sorted(facts.axles)), tuple(sorted(facts.parts)))
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
    return Facts(
        variants=cars, axles=axles, options=options, parts=parts,
        drops_in=read_matching(components, list(parts), list(axles)),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Alike:
    """What differs alike: axle, place and part, and what it was and becomes."""

    axle: str
    cell: AnswerKey
    was: BareAnswer | float | None
    becomes: BareAnswer | float | None

    @property
    def order(self) -> tuple[str, ...]:
        (end, location), part = self.cell
        return self.axle, end, location, part, str(self.was), str(self.becomes)

    def fields(self, codes: list[str], cars: dict[str, int]) -> dict[str, Any]:
        (end, location), part = self.cell
        return {
            "axle": self.axle, "end": end, "location": location, "part": part, "before": _json(self.was),
            "after": _json(self.becomes), "variants": tuple(codes), "in_operation": sum(cars[code] for code in codes),
        }  # fmt: skip


def _json(value: BareAnswer | float | None) -> dict[str, str | None] | float | None:
    return value.as_json() if isinstance(value, BareAnswer) else value


def differences(before: dict[str, CarAnswers], after: dict[str, CarAnswers]) -> Differences:
    """The answers and minutes that differ, alike ones together: by axle, location, part and what they become."""
    answers: dict[_Alike, list[str]] = defaultdict(list)
    minutes: dict[_Alike, list[str]] = defaultdict(list)
    cars: dict[str, int] = {}
    none = CarAnswers({}, 0)
    for code in sorted(before.keys() | after.keys()):
        old, new = before.get(code, none), after.get(code, none)
        cars[code] = (after.get(code) or before[code]).in_operation
        for cell, was, becomes in differing(old.answers, new.answers):
            answers[_Alike(_axle(old, new, cell), cell, was, becomes)].append(code)
        for cell in old.minutes.keys() & new.minutes.keys():
            if old.minutes[cell] != new.minutes[cell]:
                minutes[_Alike(_axle(old, new, cell), cell, old.minutes[cell], new.minutes[cell])].append(code)
    return Differences(
        [AnswerDifference(**alike.fields(answers[alike], cars)) for alike in sorted(answers, key=_order)],
        [MinutesDifference(**alike.fields(minutes[alike], cars)) for alike in sorted(minutes, key=_order)],
        _reach(answers, cars),
        _reach(minutes, cars),
    )


def _reach(changes: dict[_Alike, list[str]], cars: dict[str, int]) -> Reach:
    touched = {code for codes in changes.values() for code in codes}
    return Reach(len(changes), len(touched), sum(cars[code] for code in touched))


def _order(alike: _Alike) -> tuple[str, ...]:
    return alike.order


def _axle(old: CarAnswers, new: CarAnswers, cell: AnswerKey) -> str:
    end = cell[0][0]
    return new.axles.get(end) or old.axles.get(end) or ""

"""Does it fit, worked out by enumerating every possible car day by day: slow, plain, and apart from the product.

It follows the sentences of the contract one by one and shares only the facts and the reading of one clause with
what it checks. Facts must be small: a few variants, options and days.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from itertools import combinations, product
from typing import Any

from catalog.conditions import Clause, Conditions
from fitment.domain.description import Description, Question
from fitment.domain.facts import Facts, Part, Place, Revision, Variant

DAY = timedelta(days=1)
CONFLICT = "conflict"
TEXTS = ("maker", "chassis", "steering", "body", "drivetrain", "engine", "designation", "market")
FITS, DEPENDS, DOES_NOT_FIT, NOT_KNOWN = "fits", "depends", "does_not_fit", "not_known"
OUTCOME = {
    "no_axle": NOT_KNOWN, "no_such_location": DOES_NOT_FIT, "no_component": NOT_KNOWN, "conflict": NOT_KNOWN,
    "rejected": DOES_NOT_FIT, "approved": FITS, "under_review": NOT_KNOWN, "undecided": NOT_KNOWN,
}  # fmt: skip
BASES = ("fitted", "fitted_sibling", "carried_over", "same_component", "measured", "declared")


@dataclass(frozen=True)
class World:
    """One possible car on one day."""

    variant: Variant
    day: date
    options: frozenset[str]
    components: tuple[tuple[Place, str | None], ...]
    weight: Fraction

    def at(self, place: Place) -> str | None:
        return dict(self.components).get(place)


def values_of(variant: Variant) -> dict[str, str]:
    return {"variant": variant.code, **{name: getattr(variant, name) for name in TEXTS}}


def holds(conditions: Conditions, values: Mapping[str, str], options: Iterable[str], day: date) -> bool:
    """Whether all clauses hold for one complete car: attribute values, the options it has, its build day."""

    def clause_holds(clause: Clause) -> bool:
        if clause.attribute == "built":
            return clause.holds_on(day)
        if clause.option is not None:
            return clause.holds("yes" if clause.option in set(options) else "no")
        return clause.holds(values[clause.attribute])

    return all(clause_holds(clause) for clause in conditions.clauses)


def axle_of(variant: Variant, end: str) -> str | None:
    return variant.front_axle if end == "front" else variant.rear_axle


def stated_days(car: Description) -> tuple[date | None, date | None]:
    first, last = [], []
    for window in car.built:
        first += [window.first] if window.first else []
        last += [window.last] if window.last else []
    last += list(car.registered)
    for year in car.model_years:
        first.append(date(year - 1, 1, 2))
        last.append(date(year, 12, 31))
    return max(first, default=None), min(last, default=None)


def last_day(facts: Facts) -> date:
    """A day after which nothing changes any more, for the enumeration of open windows."""
    days = [variant.built_from + 370 * DAY for variant in facts.variants]
    if facts.as_of:
        days.append(facts.as_of + 2 * DAY)
    return max(days)


def option_sets(facts: Facts, variant: Variant) -> list[tuple[frozenset[str], int]]:
    """Every set of options the variant may have, with the number of such sets."""
    groups: dict[Any, list[str]] = defaultdict(list)
    for code in variant.options | variant.standard:
        option = facts.options[code]
        groups[("group", option.group) if option.group else ("alone", code)].append(code)
    choices: list[list[frozenset[str]]] = []
    for (kind, _), codes in groups.items():
        standard = [code for code in codes if code in variant.standard]
        if standard:
            choices.append([frozenset(standard)])
            continue
        values = [frozenset([code]) for code in codes]
        if kind == "alone" or not facts.options[codes[0]].required:
            values.append(frozenset())
        choices.append(values)
    sets = [frozenset().union(*chosen) for chosen in product(*choices)]
    return [(one, len(sets)) for one in sets]


def joints_true(facts: Facts, variant: Variant, place: Place, day: date, options: frozenset[str]) -> list[Any]:
    end, location = place
    axle = facts.axles[axle_of(variant, end)]
    values = {**values_of(variant), "axle": axle.code, "location": location}
    return [
        joint
        for joint in axle.joints.get(location, ())
        if day in joint.window and holds(joint.conditions, values, options, day)
    ]


def fillings(facts: Facts, variant: Variant, place: Place, day: date, options: frozenset[str]) -> list[str | None]:
    """What may sit there: one entry a choice."""
    rows = joints_true(facts, variant, place, day, options)
    found = sorted({joint.component for joint in rows})
    if len(found) > 1 and not all(joint.alternative for joint in rows):
        return [CONFLICT]
    return list(found) or [None]


def worlds(facts: Facts, car: Description) -> Iterator[World]:
    first, last = stated_days(car)
    end_of_time = last_day(facts)
    if last is not None:
        end_of_time = max(end_of_time, last)
    for variant in facts.variants:
        values = values_of(variant)
        if any(getattr(car, name) not in (None, values[name]) for name in values):
            continue
        until = variant.built_to
        if until is None:
            bounds = [facts.as_of, variant.built_from + 365 * DAY, first, last]
            until = max(day for day in bounds if day is not None)
        length = (until - variant.built_from).days + 1
        day = variant.built_from
        while day <= (variant.built_to or end_of_time):
            if (first is None or day >= first) and (last is None or day <= last):
                yield from _worlds_on(facts, car, variant, day, length if day <= until else None)
            day += DAY


def _worlds_on(facts: Facts, car: Description, variant: Variant, day: date, length: int | None) -> Iterator[World]:
    places = [
        (end, location)
        for end in ("front", "rear")
        if axle_of(variant, end)
        for location in facts.axles[axle_of(variant, end)].locations
    ]
    for options, several in option_sets(facts, variant):
        if any((code in options) is not present for code, present in car.options):
            continue
        filled = [fillings(facts, variant, place, day, options) for place in places]
        for chosen in product(*filled):
            components = dict(zip(places, chosen, strict=True))
            if any(components.get(place) != component for place, component in car.components):
                continue
            weight = Fraction(variant.in_operation or 1, several)
            for one in filled:
                weight /= len(one)
            weight = weight / length if length else Fraction(0)
            yield World(variant, day, options, tuple(components.items()), weight)


# Outcomes


def reason(facts: Facts, revision: Revision, place: Place, world: World, *, proposals: bool = False) -> str:
    end, location = place
    axle = axle_of(world.variant, end)
    if axle is None:
        return "no_axle"
    if location not in facts.axles[axle].locations:
        return "no_such_location"
    component = world.at(place)
    if component is None:
        return "no_component"
    if component == CONFLICT:
        return "conflict"
    true = true_decisions(facts, revision, place, world)
    if any(one.decision == "rejected" for one in true):
        return "rejected"
    yes = ("approved", "proposed") if proposals else ("approved",)
    if not any(one.decision in yes for one in true):
        return "undecided"
    return "under_review" if failing(facts, revision, place, world, yes) else "approved"


def true_decisions(facts: Facts, revision: Revision, place: Place, world: World) -> list[Any]:
    values = {
        **values_of(world.variant), "axle": axle_of(world.variant, place[0]), "location": place[1],
    }  # fmt: skip
    decisions = revision.decisions.get(world.at(place), ())
    return [one for one in decisions if holds(one.conditions, values, world.options, world.day)]


def tests_there(revision: Revision, place: Place, world: World) -> list[Any]:
    axle = axle_of(world.variant, place[0])
    return [test for test in revision.tests.get(world.at(place), ()) if test.axle == axle and test.location == place[1]]


def failing(facts: Facts, revision: Revision, place: Place, world: World, yes: tuple[str, ...]) -> bool:
    """Whether a failed test fit there stands for this car."""
    tests = tests_there(revision, place, world)
    approvals = [one for one in true_decisions(facts, revision, place, world) if one.decision in yes]
    for failed in tests:
        if failed.passed:
            continue
        answered = any(one.decided_on > failed.done_on for one in approvals) or any(
            test.passed
            and test.done_on > failed.done_on
            and test.drivetrain == failed.drivetrain
            and test.steering == failed.steering
            for test in tests
        )
        if not answered:
            return True
    return False


def basis(facts: Facts, part: Part, revision: Revision, place: Place, world: World) -> str:
    def fitted(one: Revision) -> str | None:
        passes = [test for test in tests_there(one, place, world) if test.passed]
        if not passes or failing(facts, one, place, world, ("approved",)):
            return None
        car = world.variant.drivetrain, world.variant.steering
        return "fitted" if any((test.drivetrain, test.steering) == car for test in passes) else "fitted_sibling"

    own = fitted(revision)
    if own:
        return own
    at = part.revisions.index(revision)
    for earlier in range(at):
        run = part.revisions[earlier + 1 : at + 1]
        if all(one.exchange in ("one_way", "both_ways") for one in run) and fitted(part.revisions[earlier]):
            return "carried_over"
    axle = axle_of(world.variant, place[0])
    tests = revision.tests.get(world.at(place), ())
    return "same_component" if any(test.passed and test.axle != axle for test in tests) else "declared"


def visible(part: Part) -> list[Revision]:
    return [one for one in reversed(part.revisions) if one.status == "released" and not one.held]


def verdict(reasons: list[list[str]]) -> tuple[str, int | None, list[int]]:
    """From the reasons of each visible revision (newest first) over all cars."""
    outcomes = [[OUTCOME[one] for one in several] for several in reasons]
    for at, several in enumerate(outcomes):
        if all(one == FITS for one in several):
            return FITS, at, []
    fitting = [at for at, several in enumerate(outcomes) if FITS in several]
    if fitting:
        return DEPENDS, fitting[0], fitting[1:]
    if outcomes and all(one == DOES_NOT_FIT for one in outcomes[0]):
        return DOES_NOT_FIT, None, []
    return NOT_KNOWN, None, []


# The answer


def fewest_contradicting(facts: Facts, car: Description) -> list[str]:
    parts: list[tuple[str, dict[str, Any]]] = [
        (name, {name: getattr(car, name)})
        for name in (
            "variant", "maker", "chassis", "designation", "body", "engine", "drivetrain", "steering", "market",
        )
        if getattr(car, name) is not None
    ]  # fmt: skip
    for name, field in (("built", "built"), ("registered", "registered"), ("model_year", "model_years")):
        if getattr(car, field):
            parts.append((name, {field: getattr(car, field)}))
    parts += [(f"option.{code}", {"options": ((code, value),)}) for code, value in sorted(car.options)]
    parts += [
        (f"component.{place[0]}.{place[1]}", {"components": ((place, code),)}) for place, code in sorted(car.components)
    ]
    for size in range(len(parts) + 1):
        for several in combinations(parts, size):
            fields: dict[str, Any] = {}
            for _, one in several:
                for name, value in one.items():
                    fields[name] = fields.get(name, ()) + value if isinstance(value, tuple) else value
            if next(worlds(facts, Description(**fields)), None) is None:
                return [name for name, _ in several]
    raise AssertionError("some car meets all that is stated")


def answer(facts: Facts, question: Question, *, staff: bool) -> dict[str, Any]:
    """The answer in the shape of the examples; a dict with `fields` alone when no car is possible."""
    all_worlds = list(worlds(facts, question.car))
    if not all_worlds:
        return {"fields": fewest_contradicting(facts, question.car)}
    variants = sorted({world.variant.code for world in all_worlds})
    if len({(world.variant.maker, world.variant.chassis) for world in all_worlds}) > 1:
        asked = platform_question(all_worlds, question.skipped)
        return {
            "variants": variants, "question": asked, "answers": {}, "unknown_locations": set(),
            "unknown_axles": set(),
        }  # fmt: skip
    answers: dict[Any, dict[str, Any]] = {}
    open_answers: list[tuple[Part, Place]] = []
    for part, place in listed(facts, question, all_worlds, staff=staff):
        answers[place, part.code] = one = part_answer(facts, part, place, all_worlds, staff=staff)
        if one["verdict"] == DEPENDS:
            open_answers.append((part, place))
    return {
        "variants": variants,
        "question": Questions(facts, all_worlds, open_answers, question.skipped).next() if open_answers else None,
        "answers": answers,
        "unknown_locations": unknown_locations(facts, question, all_worlds),
        "unknown_axles": unknown_axles(facts, question, all_worlds),
    }


def listed(facts: Facts, question: Question, all_worlds: list[World], *, staff: bool) -> Iterator[Any]:
    for part in facts.parts.values():
        if question.parts and part.code not in question.parts:
            continue
        if (question.duties and part.duty not in question.duties) or (
            question.technologies and part.technology not in question.technologies
        ):
            continue
        components = {
            component
            for revision in (part.revisions if staff and question.parts else visible(part))
            for component, decisions in revision.decisions.items()
            for one in decisions
            if one.decision != "proposed" or (staff and question.parts)
        }
        if question.parts:
            places = {
                (axle.end, location)
                for axle in facts.axles.values()
                for location, joints in axle.joints.items()
                for joint in joints
                if joint.component in components
            }
            if not places:
                yield part, None
        else:
            places = {place for world in all_worlds for place, component in world.components if component in components}
        for place in sorted(places):
            if (not question.ends or place[0] in question.ends) and (
                not question.locations or place[1] in question.locations
            ):
                yield part, place


def part_answer(
    facts: Facts, part: Part, place: Place | None, all_worlds: list[World], *, staff: bool
) -> dict[str, Any]:
    revisions = visible(part)
    if place is None:
        found = {
            "verdict": NOT_KNOWN,
            "revision": None,
            "basis": None,
            "reasons": {"undecided"},
            "undecided_by": set(),
            "other_revisions": [],
        }
        if staff:
            found["internal"] = {one.letter: (one.status, one.held, NOT_KNOWN) for one in part.revisions}
        return found
    reasons = [[reason(facts, revision, place, world) for world in all_worlds] for revision in revisions]
    judged, named, others = verdict(reasons)
    known = None
    if named is not None:
        weakest = max(
            BASES.index(basis(facts, part, revisions[named], place, world))
            for world, one in zip(all_worlds, reasons[named], strict=True)
            if one == "approved"
        )
        known = BASES[weakest]
    found = {
        "verdict": judged,
        "revision": revisions[named].letter if named is not None else None,
        "basis": known,
        "reasons": set(reasons[named or 0]) if reasons else {"undecided"},
        "undecided_by": set(),
        "other_revisions": [revisions[at].letter for at in others],
    }
    if judged == DEPENDS:
        questions = Questions(facts, all_worlds, [(part, place)], frozenset())
        names = {one for one in questions.candidates if questions.matters(one)}
        if not names and (asked := questions.next()) is not None:
            names = {asked["attribute"]}
        found["undecided_by"] = names
    if staff:
        found["internal"] = {}
        for revision in part.revisions:
            if named is not None and revision is revisions[named]:
                continue
            alone = verdict([[reason(facts, revision, place, world, proposals=True) for world in all_worlds]])
            found["internal"][revision.letter] = (revision.status, revision.held, alone[0])
    return found


def unknown_locations(facts: Facts, question: Question, all_worlds: list[World]) -> set[tuple[str, str, str]]:
    places = {place for world in all_worlds for place, _ in world.components}
    found = set()
    for end, location in places:
        if (question.ends and end not in question.ends) or (question.locations and location not in question.locations):
            continue

        def lacks(world: World, end: str = end, location: str = location) -> bool:
            axle = axle_of(world.variant, end)
            return (
                axle is not None
                and facts.axles[axle].locations.get(location, False)
                and world.at((end, location)) in (None, CONFLICT)
            )

        if any(map(lacks, all_worlds)):
            found.add((end, location, "all" if all(map(lacks, all_worlds)) else "some"))
    return found


def unknown_axles(facts: Facts, question: Question, all_worlds: list[World]) -> set[tuple[str, str]]:
    found = set()
    for end in ("front", "rear"):
        if question.ends and end not in question.ends:
            continue
        if question.locations and not any(
            end in facts.location_ends.get(location, ()) for location in question.locations
        ):
            continue
        without = [axle_of(world.variant, end) is None for world in all_worlds]
        if any(without):
            found.add((end, "all" if all(without) else "some"))
    return found


def platform_question(all_worlds: list[World], skipped: frozenset[str]) -> dict[str, Any] | None:
    for name in (
        "maker", "chassis", "body", "engine", "designation", "drivetrain", "steering", "market", "built",
    ):  # fmt: skip
        if name in skipped:
            continue
        if name == "built":
            by_day: dict[date, set[str]] = defaultdict(set)
            for world in all_worlds:
                by_day[world.day].add(world.variant.code)
            spans: list[list[Any]] = []
            for day in sorted(by_day):
                if spans and spans[-1][2] == by_day[day]:
                    spans[-1][1] = day
                else:
                    spans.append([day, day, by_day[day]])
            if len(spans) > 1:
                return {"attribute": "built", "answers": [(first, last) for first, last, _ in spans]}
            continue
        values = sorted({getattr(world.variant, name) for world in all_worlds})
        if len(values) > 1:
            return {"attribute": name, "answers": values}
    return None


class Questions:
    """The next question for answers that are `depends`, by the letter."""

    def __init__(
        self, facts: Facts, all_worlds: list[World], open_answers: list[tuple[Part, Place]], skipped: frozenset[str]
    ) -> None:
        self.facts, self.worlds, self.open, self.skipped = facts, all_worlds, open_answers, skipped
        self.outcomes = {
            id(world): tuple(
                tuple(OUTCOME[reason(facts, revision, place, world)] for revision in visible(part))
                for part, place in open_answers
            )
            for world in all_worlds
        }
        self.starts: list[date] = []
        self.candidates: list[str] = []
        others = [name for name in self._names() if name not in skipped and self._has_two(name)]
        self.candidates = others
        if "built" not in skipped:
            starts = self._intervals(others)
            if len(starts) > 1:
                self.starts = starts
                self.candidates = sorted([*others, "built"], key=self.order)

    def _names(self) -> list[str]:
        places: set[Place] = set()
        left: dict[Any, set[Any]] = defaultdict(set)
        for world in self.worlds:
            for place, component in world.components:
                left[world.variant.code, world.day, world.options, place].add(component)
        for (_, _, _, place), several in left.items():
            if len(several) > 1:
                places.add(place)
        names = [*TEXTS, *(f"option.{code}" for code in self.facts.options)]
        names += [f"component.{end}.{location}" for end, location in places]
        return sorted(names, key=self.order)

    def _has_two(self, name: str) -> bool:
        return len({self.value(name, world) for world in self.worlds}) > 1

    def order(self, name: str) -> Any:
        if name in TEXTS:
            return 0, TEXTS.index(name)
        if name == "built":
            return 1, 0
        kind, rest = name.split(".", 1)
        return (2, rest) if kind == "option" else (3, tuple(rest.split(".", 1)))

    def value(self, name: str, world: World) -> Any:
        if name == "variant":
            return world.variant.code
        if name in TEXTS:
            return getattr(world.variant, name)
        if name == "built":
            return max(start for start in self.starts if start <= world.day)
        kind, rest = name.split(".", 1)
        if kind == "option":
            return rest in world.options
        component = world.at(tuple(rest.split(".", 1)))
        return None if component == CONFLICT else component

    def _description(self, names: list[str], world: World) -> tuple[Any, ...]:
        return tuple(self.value(name, world) for name in names)

    def _intervals(self, others: list[str]) -> list[date]:
        by_day: dict[date, dict[Any, set[Any]]] = defaultdict(lambda: defaultdict(set))
        for world in self.worlds:
            by_day[world.day][self._description(others, world)].add(self.outcomes[id(world)])
        starts: list[date] = []
        seen: dict[Any, set[Any]] = {}
        for day in sorted(by_day):
            if not starts or any(seen.get(one, found) != found for one, found in by_day[day].items()):
                starts.append(day)
                seen = {}
            seen.update(by_day[day])
        return starts

    def matters(self, name: str) -> bool:
        apart = {name}
        if name.startswith("option."):
            own = self.facts.options[name.split(".", 1)[1]]
            if own.group and own.required:
                apart |= {f"option.{code}" for code, one in self.facts.options.items() if one.group == own.group}
        names = [one for one in self.candidates if one not in apart]
        found: dict[Any, dict[Any, set[Any]]] = defaultdict(lambda: defaultdict(set))
        for world in self.worlds:
            found[self._description(names, world)][self.value(name, world)].add(self.outcomes[id(world)])
        return any(one != other for answers in found.values() for one, other in combinations(answers.values(), 2))

    def expected(self, name: str) -> Fraction:
        by_answer: dict[Any, list[World]] = defaultdict(list)
        for world in self.worlds:
            by_answer[self.value(name, world)].append(world)
        weights = {answer: sum(world.weight for world in several) for answer, several in by_answer.items()}
        if not any(weights.values()):
            weights = dict.fromkeys(weights, Fraction(1))
        depends = {answer: self._depends(several) for answer, several in by_answer.items()}
        whole = sum(weights.values())
        return Fraction(sum(weights[answer] * depends[answer] for answer in weights)) / whole

    def _depends(self, several: list[World]) -> int:
        count = 0
        for at in range(len(self.open)):
            columns = list(zip(*(self.outcomes[id(world)][at] for world in several), strict=True))
            if not any(all(one == FITS for one in column) for column in columns) and any(
                FITS in column for column in columns
            ):
                count += 1
        return count

    def next(self) -> dict[str, Any] | None:
        now = len(self.open)
        expected = {name: self.expected(name) for name in self.candidates}
        mattering = {name: self.matters(name) for name in self.candidates}
        ranked = sorted(self.candidates, key=lambda name: (expected[name], not mattering[name], self.order(name)))
        if ranked and (expected[ranked[0]] < now or any(mattering.values())):
            return self._asked(ranked[0], expected[ranked[0]])
        if "variant" not in self.skipped and self._has_two("variant"):
            return self._asked("variant", self.expected("variant"))
        if not self.skipped and self.candidates:
            return self._asked(self.candidates[0], expected[self.candidates[0]])
        return None

    def _asked(self, name: str, expected: Fraction) -> dict[str, Any]:
        if name == "built":
            days = sorted({world.day for world in self.worlds})
            answers: list[Any] = []
            for at, start in enumerate(self.starts):
                until = self.starts[at + 1] if at + 1 < len(self.starts) else None
                answers.append((start, max(day for day in days if until is None or day < until)))
        else:
            answers = [one for one in {self.value(name, world) for world in self.worlds} if one is not None]
            answers.sort(key=lambda one: not one if isinstance(one, bool) else one)
        return {"attribute": name, "answers": answers, "expected": expected, "undecided": len(self.open)}


def part_cars(facts: Facts, part: Part) -> set[tuple[Any, ...]]:
    """The rows of a part's cars: variant, end, location, first and last day, verdict, revision."""
    found = set()
    for variant in facts.variants:
        all_worlds = list(worlds(facts, Description(variant=variant.code)))
        for one, place in listed(facts, Question(), all_worlds, staff=False):
            if one is not part or place is None:
                continue
            spans: list[list[Any]] = []
            for day in sorted({world.day for world in all_worlds}):
                today = [world for world in all_worlds if world.day == day]
                reasons = [[reason(facts, revision, place, world) for world in today] for revision in visible(part)]
                judged, named, _ = verdict(reasons)
                state = judged, visible(part)[named].letter if named is not None else None
                if spans and spans[-1][2] == state:
                    spans[-1][1] = day
                else:
                    spans.append([day, day, state])
            for first, last, state in spans:
                open_end = variant.built_to is None and last == spans[-1][1]
                found.add((variant.code, *place, first, None if open_end else last, *state))
    return found

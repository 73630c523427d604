"""How hard a job is, 1 to 5, and what makes it so."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from catalog.codes import GradeCause
from fitment.answers.job import BenchWork
from fitment.domain.procedures import Operation, Workshop, pieces_used
from fitment.job.access_plan import JobSetup, Plan

EASIEST = 1
ALIGNMENT_GRADE = 2
# minutes of one side that are more than this -> grade
LONG = ((180, 4), (90, 3))

Cause = tuple[int, str]
"""A grade, and what asks for it: `skill:axle/code`, `bench:PART`, `equipment:CODE`, `hazard:CODE`, or a bare word."""


@dataclass(frozen=True, slots=True)
class Grade:
    """The grade, and all causes that reach it; none at 1."""

    value: int
    set_by: tuple[str, ...]


def plan_grade(setup: JobSetup, plan: Plan, one_side: Fraction | None = None) -> Grade:
    """The grade of a plan's operations done here, its bench work and the minutes of one side, where not known yet."""
    one_side = one_side_minutes(setup, plan) if one_side is None else one_side
    causes: list[Cause] = [(time_grade(one_side), GradeCause.TIME)]
    for operation in setup.named(plan.counted):
        causes.extend(_operation_causes(setup.workshop, operation, setup.equipment))
    for work in plan.bench:
        causes.extend(_bench_causes(setup.workshop, work, setup.equipment))
    value = max(EASIEST, *(grade for grade, _ in causes))
    set_by = {cause for grade, cause in causes if grade == value} if value > EASIEST else set()
    return Grade(value, tuple(sorted(set_by)))


def one_side_minutes(setup: JobSetup, plan: Plan) -> Fraction:
    """Minutes of the least plan of one side with the same equipment, with bench, without after-work."""
    if setup.sides == 1 and not setup.barred:
        return plan.minutes
    one_side = replace(setup, sides=1, barred=frozenset()).min_cost_plan(plan.goals)
    assert one_side is not None, "a plan of both sides is one of one side"  # noqa: S101 - states a fact
    return one_side.minutes


def time_grade(minutes: Fraction) -> int:
    """The grade of the minutes that one side takes, with bench and without after-work.

    >>> time_grade(Fraction(90)), time_grade(Fraction(91)), time_grade(Fraction(181))
    (1, 3, 4)
    """
    return next((grade for limit, grade in LONG if minutes > limit), EASIEST)


def operation_grade(workshop: Workshop, operation: Operation, equipment: frozenset[str]) -> int:
    """The grade that an operation done here asks for by itself."""
    return max(grade for grade, _ in _operation_causes(workshop, operation, equipment))


def bench_grade(workshop: Workshop, work: BenchWork, equipment: frozenset[str]) -> int:
    """The grade that bench work asks for by itself; the easiest where it is done elsewhere."""
    return max((grade for grade, _ in _bench_causes(workshop, work, equipment)), default=EASIEST)


def _operation_causes(workshop: Workshop, operation: Operation, equipment: frozenset[str]) -> Iterator[Cause]:
    yield operation.skill, f"{GradeCause.SKILL}:{operation.name}"
    if operation.alignment:
        yield ALIGNMENT_GRADE, GradeCause.ALIGNMENT
    yield from _equipment_causes(workshop, (*pieces_used(operation.equipment, equipment), *operation.consumables))
    for code in operation.hazards:
        if code in workshop.hazards:
            yield workshop.hazards[code].least_grade or EASIEST, f"{GradeCause.HAZARD}:{code}"


def _bench_causes(workshop: Workshop, work: BenchWork, equipment: frozenset[str]) -> Iterator[Cause]:
    if not work.elsewhere:
        yield work.bench.skill, f"{GradeCause.BENCH}:{work.part}"
        yield from _equipment_causes(workshop, pieces_used(work.bench.equipment, equipment))


def _equipment_causes(workshop: Workshop, codes: Iterable[str]) -> Iterator[Cause]:
    for code in codes:
        if code in workshop.equipment:
            yield workshop.equipment[code].least_grade or EASIEST, f"{GradeCause.EQUIPMENT}:{code}"

"""A plan beside others: jobs for each part, one part more, one piece of equipment less, what a home has."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from catalog.codes import EquipmentSet
from fitment.answers.job import AddablePart, EquipmentGap
from fitment.domain.procedures import Goal
from fitment.job.access_plan import JobSetup, Plan, opened_ends
from fitment.job.grade import EASIEST, Grade, bench_grade, one_side_minutes, operation_grade, plan_grade, time_grade
from fitment.job.operation_graph import OperationGraph
from fitment.job.tools import equipment_used


def saved_minutes(setup: JobSetup, plan: Plan) -> Fraction:
    """What one job for each part would take more than this one."""
    if len(plan.goals) == 1:
        return Fraction(0)
    saved = -plan.cost
    for goal in plan.goals:
        _, alone = _plan_with(setup, [goal])
        assert alone is not None, "a goal of a plan has a plan alone"  # noqa: S101 - states a fact
        saved += alone.cost
    return saved


def while_in_there(setup: JobSetup, plan: Plan, grade: int, candidates: Sequence[Goal]) -> list[AddablePart]:
    """The candidates that have a plan together with the goals of a plan of this grade, least extra minutes first."""
    found = []
    for goal in candidates:
        wider, more = _plan_with(setup, [*plan.goals, goal])
        if more is not None:
            extra_grade = plan_grade(wider, more).value - grade
            extra_minutes = more.cost - plan.cost
            part = goal.part
            found.append(AddablePart(part.code, goal.end, goal.location, part.revision, extra_minutes, extra_grade))
    return sorted(found, key=lambda e: (e.extra_minutes, e.part, e.end, e.location))


def _plan_with(setup: JobSetup, goals: Sequence[Goal]) -> tuple[JobSetup, Plan | None]:
    """The least plan for other goals on the same car, and the setup it is on."""
    ends = opened_ends(setup.car, setup.workshop, goals)
    if ends is None:
        return setup, None
    if ends != setup.ends:
        setup = replace(setup, ends=ends)
    return setup, setup.min_cost_plan(goals)


def equipment_gaps(setup: JobSetup, plan: Plan) -> list[EquipmentGap]:
    """For each piece used, the least plan without it less the plan; what is elsewhere in either is left out of both."""
    gaps = []
    for code in equipment_used(setup, plan):
        other = replace(setup, equipment=setup.equipment - {code}).min_cost_plan(plan.goals)
        gaps.append(EquipmentGap(code, None if other is None else _difference(setup, plan, other)))
    return gaps


def _difference(setup: JobSetup, plan: Plan, other: Plan) -> Fraction:
    elsewhere = plan.elsewhere | other.elsewhere
    bench_elsewhere = {work.part for work in (*plan.bench, *other.bench) if work.elsewhere}

    def minutes_here(one: Plan) -> Fraction:
        steps = sum((each.minutes(one.sides) for each in setup.named(one.members - elsewhere)), Fraction(0))
        return steps + sum(work.minutes or 0 for work in one.bench if work.part not in bench_elsewhere)

    return max(Fraction(0), minutes_here(other) - minutes_here(plan))


@dataclass(frozen=True, slots=True)
class HomePlan:
    setup: JobSetup
    plan: Plan
    grade: Grade


def home_plan(setup: JobSetup, goals: Sequence[Goal]) -> HomePlan | None:
    """The plan with home equipment of least grade, then least minutes; None where a home cannot do it.

    The minutes of one side grade it too: they are those of the least plan with home equipment, so that they set a
    minimum, as bench work does, and the steps decide the rest.
    """
    at_home = replace(setup, equipment=setup.workshop.pieces([EquipmentSet.HOME]), barred=frozenset())
    quickest = at_home.min_cost_plan(goals)
    if quickest is None:
        return None
    one_side = one_side_minutes(at_home, quickest)
    bench_grades = (bench_grade(at_home.workshop, work, at_home.equipment) for work in quickest.bench)
    minimum = max(time_grade(one_side), EASIEST, *bench_grades)
    grades = _operation_grades(at_home.graph)
    hardest = max((grades[name] for name in quickest.counted), default=EASIEST)
    # a plan of lower grade does without every harder step; only grades that some step has tell plans apart
    for most in sorted({minimum, *(grade for grade in grades.values() if minimum < grade)}):
        if most >= hardest:
            break
        gentle = replace(at_home, barred=frozenset(name for name, grade in grades.items() if grade > most))
        plan = gentle.min_cost_plan(goals)
        if plan is not None:
            return HomePlan(at_home, plan, plan_grade(at_home, plan, one_side))
    return HomePlan(at_home, quickest, plan_grade(at_home, quickest, one_side))


@lru_cache(maxsize=512)
def _operation_grades(graph: OperationGraph) -> dict[str, int]:
    """The grade that each operation that can be done here asks for by itself."""
    return {name: operation_grade(graph.workshop, graph.operations[name], graph.equipment) for name in graph.available}

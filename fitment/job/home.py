"""Can I do it at home? The plan of least grade with what a home has."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

from .access import Plan, Site
from .comparisons import plan_grade, side_minutes
from .grade import EASIEST, HARDEST, Grade, bench_causes, operation_causes, time_grade
from .procedures import Goal, Operation


@dataclass(frozen=True, slots=True)
class HomePlan:
    site: Site
    plan: Plan
    grade: Grade


def home_plan(site: Site, goals: Sequence[Goal]) -> HomePlan | None:
    """The plan with home equipment of least grade, then least minutes; None where a home cannot do it.

    The minutes of one side grade it too: they are those of the least plan with home equipment, so that they set a
    floor, as bench work does, and the steps decide the rest.
    """
    at_home = replace(site, equipment=site.workshop.home(), allowed=None)
    easiest = at_home.least(goals)
    if easiest is None:
        return None
    reached = {
        name: max(value for value, _ in operation_causes(site.workshop, operation, at_home.equipment))
        for name, operation in at_home.operations.items()
        if name in at_home.available
    }
    floor = time_grade(side_minutes(at_home, easiest))
    for work in easiest.bench:
        floor = max(floor, *(value for value, _ in bench_causes(site.workshop, work, at_home.equipment)), EASIEST)
    for most in range(floor, HARDEST + 1):
        gentle = replace(at_home, allowed=partial(_at_most, most, reached))
        plan = gentle.least(goals)
        if plan is not None:
            return HomePlan(at_home, plan, plan_grade(gentle, plan))
    raise AssertionError("every step is at most of the hardest grade")


def _at_most(most: int, reached: dict[str, int], operation: Operation) -> bool:
    return reached[operation.name] <= most

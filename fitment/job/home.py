"""Can I do it at home? The plan of least grade with what a home has."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from fitment.domain.procedures import Goal
from fitment.job.access import Plan, Site
from fitment.job.comparisons import plan_grade, side_minutes
from fitment.job.grade import EASIEST, Grade, bench_causes, operation_causes, time_grade


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
    at_home = replace(site, equipment=site.workshop.home(), barred=frozenset())
    easiest = at_home.least(goals)
    if easiest is None:
        return None
    alone = side_minutes(at_home, easiest)
    floor = time_grade(alone)
    for work in easiest.bench:
        floor = max(floor, *(value for value, _ in bench_causes(site.workshop, work, at_home.equipment)), EASIEST)
    grades = step_grades(at_home)
    hardest = max((grades[name] for name in easiest.counted), default=EASIEST)
    # a plan of lower grade does without every harder step; only grades that some step has tell plans apart
    for most in sorted({floor, *(grade for grade in grades.values() if floor < grade)}):
        if most >= hardest:
            break
        gentle = replace(at_home, barred=frozenset(name for name, grade in grades.items() if grade > most))
        plan = gentle.least(goals)
        if plan is not None:
            return HomePlan(at_home, plan, plan_grade(at_home, plan, alone))
    return HomePlan(at_home, easiest, plan_grade(at_home, easiest, alone))


def step_grades(site: Site) -> dict[str, int]:
    """The grade that each operation that can be done here asks for by itself."""
    found = site.ground.kept.get("grades")
    if found is None:
        found = site.ground.kept["grades"] = {
            name: max(value for value, _ in operation_causes(site.workshop, site.operations[name], site.equipment))
            for name in site.available
        }
    return found

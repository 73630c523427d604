"""What a plan saves, what is nearly free on top, what a missing piece of equipment would cost."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from fitment.domain.procedures import Goal
from fitment.job.access import Plan, Site, opened
from fitment.job.grade import Grade, grade
from fitment.job.tools import equipment_used


@dataclass(frozen=True, slots=True)
class Extra:
    """A part that could be fitted too, with the minutes (after-work included) and grades it would add."""

    part: str
    end: str
    location: str
    revision: str
    extra_minutes: Fraction
    extra_grade: int


@dataclass(frozen=True, slots=True)
class Gap:
    """A piece of equipment that the plan uses, and the minutes more without it; None: no plan without it."""

    equipment: str
    extra_minutes: Fraction | None


def at(site: Site, goals: Sequence[Goal], **changes: object) -> Site | None:
    """The same car for other goals; None when it has no recorded axle there."""
    ends = opened(site.car, site.workshop, goals)
    if ends is None:
        return None
    return site if ends == site.ends and not changes else replace(site, ends=ends, **changes)  # type: ignore[arg-type]


def side_minutes(site: Site, plan: Plan) -> Fraction:
    """Minutes of the least plan of one side with the same equipment, with bench, without after-work."""
    if site.sides == 1 and not site.barred:
        return plan.minutes
    alone = replace(site, sides=1, barred=frozenset()).least(plan.goals)
    assert alone is not None, "a plan of both sides is one of one side"  # noqa: S101 - states a fact
    return alone.minutes


def plan_grade(site: Site, plan: Plan, alone: Fraction | None = None) -> Grade:
    """The grade of a plan; `alone` are the minutes of one side where they are known already."""
    operations = (site.operations[name] for name in plan.counted)
    minutes = side_minutes(site, plan) if alone is None else alone
    return grade(site.workshop, operations, plan.bench, site.equipment, minutes)


def saved_minutes(site: Site, plan: Plan) -> Fraction:
    """What one job for each part would take more than this one."""
    if len(plan.goals) == 1:
        return Fraction(0)
    total = Fraction(0)
    for goal in plan.goals:
        place = at(site, [goal])
        alone = place.least([goal]) if place else None
        assert alone is not None, "a goal of a plan has a plan alone"  # noqa: S101 - states a fact
        total += alone.cost
    return total - plan.cost


def while_in_there(site: Site, plan: Plan, plan_grade_value: int, candidates: Sequence[Goal]) -> list[Extra]:
    """The candidates that have a plan together with the goals, least extra minutes first."""
    found = []
    sites: dict[tuple[str, ...], Site] = {}
    for goal in candidates:
        goals = (*plan.goals, goal)
        ends = opened(site.car, site.workshop, goals)
        if ends is None:
            continue
        if ends not in sites:
            sites[ends] = site if ends == site.ends else replace(site, ends=ends)
        more = sites[ends].least(goals)
        if more is None:
            continue
        extra_grade = plan_grade(sites[ends], more).value - plan_grade_value
        extra = more.cost - plan.cost
        found.append(Extra(goal.part.code, goal.end, goal.location, goal.part.revision, extra, extra_grade))
    return sorted(found, key=lambda e: (e.extra_minutes, e.part, e.end, e.location))


def equipment_gaps(site: Site, plan: Plan) -> list[Gap]:
    """For each piece used, the least plan without it less the plan; what is elsewhere in either is left out of both."""
    operations = [site.operations[name] for name in plan.counted]
    gaps = []
    for code in equipment_used(operations, plan.bench, site.equipment):
        poorer = replace(site, equipment=site.equipment - {code})
        other = poorer.least(plan.goals)
        gaps.append(Gap(code, None if other is None else _difference(site, plan, other)))
    return gaps


def _difference(site: Site, plan: Plan, other: Plan) -> Fraction:
    left_out = plan.elsewhere | other.elsewhere
    sent = {work.part for work in (*plan.bench, *other.bench) if work.elsewhere}

    def counts(one: Plan) -> Fraction:
        names = one.members - left_out
        here = sum((site.operations[name].minutes(one.sides) for name in names), Fraction(0))
        return here + sum((work.minutes for work in one.bench if work.part not in sent), Fraction(0))

    return max(Fraction(0), counts(other) - counts(plan))

"""A whole job from its facts: the plan, and everything derived from it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from fitment.answers.job import AfterWork, BenchLine, Home, JobPlan, JobSummary
from fitment.domain.procedures import Car, Goal, Workshop
from fitment.errors import NoPlan
from fitment.job.access import Plan, Site, opened
from fitment.job.cautions import cautions
from fitment.job.comparisons import equipment_gaps, plan_grade, saved_minutes, while_in_there
from fitment.job.fasteners import FastenerLine, fastener_lines
from fitment.job.grade import Grade
from fitment.job.home import home_plan
from fitment.job.labour import Factor, estimate, trade_hours
from fitment.job.openings import opening_sets
from fitment.job.press_tools import PressSizes, press_tools
from fitment.job.recorded import minutes_by_axle
from fitment.job.several_cars import Shown, dearest
from fitment.job.steps import steps
from fitment.job.to_order import to_order
from fitment.job.tools import EQUIPMENT, Tool, equipment_used, fastener_tools


@dataclass(frozen=True, slots=True)
class Ask:
    """What a job is for. cars: the possible cars that every revision ordered fits; side: left, right or both;
    candidates: what may be added while in there; press: sizes by goal name."""

    cars: tuple[Car, ...]
    goals: tuple[Goal, ...]
    side: str
    equipment: frozenset[str]
    candidates: tuple[Goal, ...] = ()
    press: Mapping[str, PressSizes] = field(default_factory=dict)

    @property
    def sides(self) -> int:
        return 2 if self.side == "both" else 1


def plan_for(workshop: Workshop, ask: Ask) -> Shown:
    """The plan shown. Raises NoPlan with the goals that have none, and what would open each of them alone."""
    found = dearest(workshop, ask.cars, ask.goals, ask.sides, ask.equipment)
    if isinstance(found, Shown):
        return found
    raise _no_plan(workshop, ask, found)


def _no_plan(workshop: Workshop, ask: Ask, site: Site | None) -> NoPlan:
    if site is None:
        return NoPlan({goal.name: [] for goal in ask.goals}, ask.cars[0].variant if ask.cars else "")
    opens: dict[str, list[list[str]]] = {}
    for goal in ask.goals:
        ends = opened(site.car, workshop, [goal])
        alone = Site(workshop, site.car, ends, site.sides, site.equipment) if ends else None
        if alone is None:
            opens[goal.name] = []
        elif alone.least([goal]) is None:
            opens[goal.name] = opening_sets(alone, goal)
    return NoPlan(opens, site.car.variant)


def job_plan(workshop: Workshop, ask: Ask, shown: Shown, factors: Mapping[str, Factor]) -> JobPlan:
    """Everything about a job that has a plan."""
    site, plan = shown.site, shown.plan
    counted = [site.operations[name] for name in plan.counted]
    lines = fastener_lines(counted, ask.goals, ask.sides)
    graded = plan_grade(site, plan)
    labour = estimate(minutes_by_axle(site, plan), factors)
    sizes = [(goal, ask.press[goal.name]) for goal in ask.goals if goal.name in ask.press]
    return JobPlan(
        shown=site.car.variant,
        ways=plan.ways,
        grade=graded.value,
        grade_set_by=graded.set_by,
        minutes=plan.minutes,
        after_minutes=plan.after_minutes,
        minutes_median=labour.median,
        minutes_p80=labour.upper,
        observations=labour.observations,
        hours=trade_hours(labour.median),
        hours_p80=trade_hours(labour.upper),
        proven=plan.proven,
        varies=shown.varies,
        operations=plan.operations,
        after=tuple(_after(site, plan, name) for name in plan.after),
        steps=tuple(steps(site, plan, ask.side, lines)),
        bench=tuple(
            BenchLine(w.part, w.pieces, None if w.elsewhere else w.minutes, w.elsewhere, w.bench) for w in plan.bench
        ),
        tools=_tools(site, plan, lines),
        press_tools=tuple(press_tools(goal.part.code, goal.place, size) for goal, size in sizes),
        fasteners=tuple(lines),
        to_order=to_order(workshop, site.car, ask.goals, counted, ask.sides),
        cautions=tuple(cautions(workshop, (site.operations[n] for n in (*plan.operations, *plan.after)))),
        saved_minutes=saved_minutes(site, plan),
        while_in_there=tuple(while_in_there(site, plan, graded.value, ask.candidates)),
        equipment_gaps=tuple(equipment_gaps(site, plan)),
        home=_home(site, ask.goals, factors),
        titles={name: site.operations[name].title for name in (*plan.operations, *plan.after)},
    )


def job_summary(workshop: Workshop, ask: Ask, shown: Shown, factors: Mapping[str, Factor]) -> JobSummary:
    """The few figures that stand beside a fitment answer."""
    site, plan = shown.site, shown.plan
    lines = fastener_lines([site.operations[name] for name in plan.counted], ask.goals, ask.sides)
    graded: Grade = plan_grade(site, plan)
    labour = estimate(minutes_by_axle(site, plan), factors)
    return JobSummary(
        grade=graded.value,
        grade_set_by=graded.set_by,
        hours=trade_hours(labour.median),
        hours_p80=trade_hours(labour.upper),
        minutes=plan.minutes,
        after_minutes=plan.after_minutes,
        tools=len(_tools(site, plan, lines)),
        after_work=plan.after,
        home=_home(site, ask.goals, factors),
    )


def _after(site: Site, plan: Plan, name: str) -> AfterWork:
    operation = site.operations[name]
    elsewhere = name in plan.elsewhere
    return AfterWork(name, operation.title, None if elsewhere else operation.minutes(plan.sides), elsewhere)


def _tools(site: Site, plan: Plan, lines: Sequence[FastenerLine]) -> tuple[Tool, ...]:
    operations = (site.operations[name] for name in plan.counted)
    pieces = equipment_used(operations, plan.bench, site.equipment)
    return (*(Tool(EQUIPMENT, code) for code in pieces), *fastener_tools(lines))


def _home(site: Site, goals: Sequence[Goal], factors: Mapping[str, Factor]) -> Home:
    found = home_plan(site, goals)
    if found is None:
        return Home(False)
    plan = found.plan
    labour = estimate(minutes_by_axle(found.site, plan), factors)
    return Home(
        possible=True,
        grade=found.grade.value,
        grade_set_by=found.grade.set_by,
        minutes=plan.minutes,
        after_minutes=plan.after_minutes,
        hours=trade_hours(labour.median),
        operations=plan.operations,
        after=plan.after,
        elsewhere=tuple(name for name in plan.after if name in plan.elsewhere),
        bench_elsewhere=tuple(work.part for work in plan.bench if work.elsewhere),
    )

"""A whole job from its facts: the plan, and everything derived from it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from catalog.codes import Side
from fitment.answers.job import AfterWork, Home, JobPlan, JobSummary
from fitment.domain.procedures import Goal, JobCar, Workshop
from fitment.errors import NoPlan
from fitment.job.access_plan import CostliestCar, JobSetup, Plan, costliest_car, setup_for
from fitment.job.comparisons import equipment_gaps, home_plan, saved_minutes, while_in_there
from fitment.job.equipment_sets import sufficient_equipment
from fitment.job.fasteners import fastener_lines, to_order
from fitment.job.grade import plan_grade
from fitment.job.labour import Factor, estimate, minutes_by_axle, trade_hours
from fitment.job.steps import cautions, steps
from fitment.job.tools import PressSizes, plan_tools, press_tools


@dataclass(frozen=True, slots=True)
class JobScope:
    """What a job is for. cars: the possible cars that every revision ordered fits; candidates: what may be added while
    in there; press: sizes by goal name."""

    cars: tuple[JobCar, ...]
    goals: tuple[Goal, ...]
    side: Side
    equipment: frozenset[str]
    candidates: tuple[Goal, ...] = ()
    press: Mapping[str, PressSizes] = field(default_factory=dict)

    @property
    def sides(self) -> int:
        return sides_of(self.side)


def sides_of(side: str) -> int:
    return 2 if side == Side.BOTH else 1


def plan_for(workshop: Workshop, scope: JobScope) -> CostliestCar:
    """The plan shown. Raises NoPlan with the goals that have none, and what would open each of them alone."""
    found = costliest_car(workshop, scope.cars, scope.goals, scope.sides, scope.equipment)
    if isinstance(found, CostliestCar):
        return found
    if found is None:
        raise NoPlan({goal.name: [] for goal in scope.goals}, scope.cars[0].variant if scope.cars else "")
    opens: dict[str, list[list[str]]] = {}
    for goal in scope.goals:
        alone = setup_for(workshop, found.car, [goal], found.sides, found.equipment)
        if alone is None:
            opens[goal.name] = []
        elif alone.min_cost_plan([goal]) is None:
            opens[goal.name] = sufficient_equipment(alone, goal)
    raise NoPlan(opens, found.car.variant)


def job_plan(scope: JobScope, costliest: CostliestCar, factors: Mapping[str, Factor]) -> JobPlan:
    """Everything about a job that has a plan."""
    setup, plan = costliest.setup, costliest.plan
    counted = setup.named(plan.counted)
    fasteners = fastener_lines(counted, scope.goals, scope.sides)
    grade = plan_grade(setup, plan)
    labour = estimate(minutes_by_axle(setup, plan), factors)
    sizes = [(goal, scope.press[goal.name]) for goal in scope.goals if goal.name in scope.press]
    return JobPlan(
        shown=setup.car.variant,
        ways=plan.ways,
        grade=grade.value,
        grade_set_by=grade.set_by,
        minutes=plan.minutes,
        after_minutes=plan.after_minutes,
        minutes_median=labour.median,
        minutes_p80=labour.upper,
        observations=labour.observations,
        hours=trade_hours(labour.median),
        hours_p80=trade_hours(labour.upper),
        proven=plan.proven,
        varies=costliest.varies,
        operations=plan.operations,
        after=tuple(_after_work(setup, plan)),
        steps=tuple(steps(setup, plan, scope.side, fasteners)),
        bench=plan.bench,
        tools=plan_tools(setup, plan, fasteners),
        press_tools=tuple(press_tools(goal.part.code, goal.place, size) for goal, size in sizes),
        fasteners=tuple(fasteners),
        to_order=to_order(setup.workshop, setup.car, scope.goals, counted, scope.sides),
        cautions=tuple(cautions(setup.workshop, setup.named(plan.ordered))),
        saved_minutes=saved_minutes(setup, plan),
        while_in_there=tuple(while_in_there(setup, plan, grade.value, scope.candidates)),
        equipment_gaps=tuple(equipment_gaps(setup, plan)),
        home=_home(setup, scope.goals, factors),
        titles={name: setup.operations[name].title for name in plan.ordered},
    )


def job_summary(scope: JobScope, costliest: CostliestCar, factors: Mapping[str, Factor]) -> JobSummary:
    """The few figures that stand beside a fitment answer."""
    setup, plan = costliest.setup, costliest.plan
    grade = plan_grade(setup, plan)
    labour = estimate(minutes_by_axle(setup, plan), factors)
    return JobSummary(
        grade=grade.value,
        grade_set_by=grade.set_by,
        hours=trade_hours(labour.median),
        hours_p80=trade_hours(labour.upper),
        minutes=plan.minutes,
        after_minutes=plan.after_minutes,
        tools=len(plan_tools(setup, plan, fastener_lines(setup.named(plan.counted), scope.goals, scope.sides))),
        after_work=plan.after,
        home=_home(setup, scope.goals, factors),
    )


def _after_work(setup: JobSetup, plan: Plan) -> list[AfterWork]:
    return [
        AfterWork(one.name, one.title, None if elsewhere else one.minutes(plan.sides), elsewhere)
        for one in setup.named(plan.after)
        for elsewhere in [one.name in plan.elsewhere]
    ]


def _home(setup: JobSetup, goals: Sequence[Goal], factors: Mapping[str, Factor]) -> Home:
    found = home_plan(setup, goals)
    if found is None:
        return Home(False)
    plan = found.plan
    return Home(
        possible=True,
        grade=found.grade.value,
        grade_set_by=found.grade.set_by,
        minutes=plan.minutes,
        after_minutes=plan.after_minutes,
        hours=trade_hours(estimate(minutes_by_axle(found.setup, plan), factors).median),
        operations=plan.operations,
        after=plan.after,
        elsewhere=tuple(name for name in plan.after if name in plan.elsewhere),
        bench_elsewhere=tuple(work.part for work in plan.bench if work.elsewhere),
    )

"""The steps of a job, phase by phase, and its cautions.

Way in and fit stand in the order of the plan, the way back in its reverse, what is tightened at ride height after it,
after-work last. `steps` puts the phases together: another order of the way back has its place there.
"""

from collections.abc import Iterable, Sequence
from fractions import Fraction

from catalog.codes import Phase, Side, TightenAt, ToolKind
from fitment.answers.job import Caution, FastenerLine, JobStep, Tool
from fitment.domain.procedures import Goal, Groups, Operation, Workshop, pieces_used
from fitment.job.access_plan import JobSetup, Plan
from fitment.job.tools import fastener_tools


def steps(setup: JobSetup, plan: Plan, side: Side, fasteners: Sequence[FastenerLine]) -> list[JobStep]:
    """All steps of a plan in the order of work. What is tightened at ride height waits until the car stands on it."""
    by_operation: dict[str, list[FastenerLine]] = {name: [] for name in plan.ordered}
    for line in fasteners:
        by_operation[line.operation].append(line)

    def step(phase: Phase, operation: Operation, minutes: Fraction, lines: Sequence[FastenerLine]) -> JobStep:
        return _step(setup, phase, operation, side, minutes, lines, elsewhere=operation.name in plan.elsewhere)

    def tightened(operation: Operation, at: TightenAt) -> list[FastenerLine]:
        return [line for line in by_operation[operation.name] if line.tighten_at == at]

    way_in, after = setup.named(plan.operations), setup.named(plan.after)
    way_back = way_in[::-1]
    return [
        *(step(Phase.REMOVE, one, one.remove, by_operation[one.name]) for one in way_in),
        *(_fit(setup, plan, goal, side) for goal in plan.goals),
        *(step(Phase.REFIT, one, one.refit, tightened(one, TightenAt.FITTED)) for one in way_back),
        *(
            step(Phase.RIDE_HEIGHT, one, Fraction(0), lines)
            for one in way_back
            if (lines := tightened(one, TightenAt.RIDE_HEIGHT))
        ),
        *(step(Phase.AFTER, one, one.expected, by_operation[one.name]) for one in after),
    ]


def _step(
    setup: JobSetup,
    phase: Phase,
    operation: Operation,
    side: Side,
    minutes: Fraction,
    fasteners: Sequence[FastenerLine],
    *,
    elsewhere: bool,
) -> JobStep:
    """At ride height only fasteners are tightened: the operation's own equipment is no longer asked for."""
    tightens_only = phase is Phase.RIDE_HEIGHT
    equipment = () if tightens_only else operation.equipment
    return JobStep(
        phase=phase,
        operation=operation.name,
        title=operation.title,
        text="" if tightens_only else operation.text,
        watch_for="" if tightens_only else operation.watch_for,
        side=side if operation.per_side else None,
        minutes=None if elsewhere else minutes * operation.times(setup.sides),
        tools=() if elsewhere else (*_equipment(setup, equipment), *fastener_tools(fasteners)),
        fasteners=() if elsewhere else tuple(fasteners),
        hazards=() if tightens_only else operation.hazards,
        elsewhere=elsewhere,
    )


def _fit(setup: JobSetup, plan: Plan, goal: Goal, side: Side) -> JobStep:
    location = setup.workshop.location(setup.car, goal)
    pieces = location.pieces_of(setup.sides)
    work = next((work for work in plan.bench if work.part == goal.part.code), None)
    minutes: Fraction | None = Fraction(0)
    tools: tuple[Tool, ...] = ()
    if work is not None:
        minutes = None if work.elsewhere else work.bench.expected * pieces
        tools = () if work.elsewhere else _equipment(setup, work.bench.equipment)
    return JobStep(
        phase=Phase.FIT,
        operation=None,
        title=location.title,
        text="",
        watch_for="",
        side=None if location.per_axle else side,
        minutes=minutes,
        tools=tools,
        part=goal.part.code,
        place=goal.place,
        pieces=pieces,
    )


def _equipment(setup: JobSetup, groups: Groups) -> tuple[Tool, ...]:
    return tuple(Tool(ToolKind.EQUIPMENT, code) for code in pieces_used(groups, setup.equipment))


def cautions(workshop: Workshop, operations: Iterable[Operation]) -> list[Caution]:
    """One caution per hazard of the operations, in the order in which the job meets them."""
    named: dict[str, list[str]] = {}
    for operation in operations:
        for code in operation.hazards:
            named.setdefault(code, []).append(operation.name)
    return [
        Caution(code, hazard.title, hazard.caution, tuple(names))
        for code, names in named.items()
        if (hazard := workshop.hazards.get(code)) is not None
    ]

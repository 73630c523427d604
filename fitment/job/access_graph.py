"""The way in as a graph: the steps of a plan, what rests on what, and the ways not taken with what they would add."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from catalog.codes import GraphState
from fitment.domain.procedures import Goal
from fitment.job.access_plan import JobSetup, Plan

# Each way not taken is a plan of its own; a drawing of more than these would not be read.
MOST_ALTERNATIVES = 8


@dataclass(frozen=True, slots=True)
class AccessStep:
    """A box of the graph. minutes: of the sides done, None where it is done elsewhere; goals: names of the goals that
    rest on it."""

    name: str
    title: str
    minutes: Fraction | None
    state: GraphState
    goals: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class AlternativeWay:
    """A way not taken: its steps that the plan does without, and the minutes it would add to the whole job.

    `at` is the goal or step that could rest on it instead, `last` the step of it that comes right before; `after`
    are the steps of the plan that it rests on. `extra_minutes` is None where the equipment at hand gives no plan
    that way; `lacking` then names equipment without which a step of it cannot be done.
    """

    at: str
    last: str
    steps: tuple[str, ...]
    after: tuple[str, ...]
    extra_minutes: Fraction | None
    lacking: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class AccessGraph:
    """`links` lead from what comes first to what rests on it; a goal stands under its name (`PART END.LOCATION`)."""

    goals: tuple[Goal, ...]
    steps: tuple[AccessStep, ...]
    links: tuple[tuple[str, str], ...]
    alternatives: tuple[AlternativeWay, ...]


def access_graph(setup: JobSetup, plan: Plan) -> AccessGraph:
    """The graph of a plan.

    A way not taken is any alternative that the plan leaves: another way of a goal, another operation of a group of
    the way taken or of a need of a step on it. What it would add is the least plan that takes it, less the plan.

    Notes: only alternatives of one choice at a time are weighed, at most MOST_ALTERNATIVES of them.
    """
    by_goal = {goal.name: setup.rests_on(goal, plan.members) for goal in plan.goals}
    alternatives = list(dict.fromkeys(_alternatives(setup, plan)))[:MOST_ALTERNATIVES]
    not_taken = list(dict.fromkeys(step for other in alternatives for step in other.steps))
    needs = setup.graph.needs
    steps = [_step(setup, plan, name, by_goal) for name in (*plan.operations, *not_taken, *plan.after)]
    links = [(needed, name) for name in plan.operations for needed in _named_in(needs[name], plan.operations)]
    for goal in plan.goals:
        links += [(name, goal.name) for name in _named_in(_groups_of(setup, plan, goal), plan.operations)]
    links += [(needed, name) for name in plan.after for needed in _named_in(needs[name], plan.after)]
    return AccessGraph(plan.goals, tuple(steps), tuple(dict.fromkeys(links)), tuple(alternatives))


def _step(setup: JobSetup, plan: Plan, name: str, by_goal: dict[str, frozenset[str]]) -> AccessStep:
    operation = setup.operations[name]
    state = GraphState.CHOSEN if name in plan.operations else GraphState.AFTER
    if name not in plan.members:
        state = GraphState.OTHER
    minutes = None if name in plan.elsewhere else operation.minutes(setup.sides)
    goals = tuple(goal for goal, reached in by_goal.items() if name in reached)
    return AccessStep(name, operation.title, minutes, state, goals)


def _named_in(groups: Iterable[frozenset[str]], shown: Sequence[str]) -> list[str]:
    named = frozenset[str]().union(*groups)
    return [name for name in shown if name in named]


def _groups_of(setup: JobSetup, plan: Plan, goal: Goal) -> list[frozenset[str]]:
    way = next(way for way in setup.ways(goal) if way.code == plan.ways[goal.name])
    return setup.graph.groups(setup.car.axles[goal.end], way.operations)


def _alternatives(setup: JobSetup, plan: Plan) -> Iterable[AlternativeWay]:
    for goal in plan.goals:
        yield from _other_ways(setup, plan, goal)
        for group in _groups_of(setup, plan, goal):
            yield from _other_operations(setup, plan, goal.name, group)
    for name in plan.operations:
        for group in setup.graph.needs[name]:
            yield from _other_operations(setup, plan, name, group)


def _other_ways(setup: JobSetup, plan: Plan, goal: Goal) -> Iterable[AlternativeWay]:
    for way in setup.workshop.location(setup.car, goal).ways:
        if way.code != plan.ways[goal.name]:
            groups = setup.graph.groups(setup.car.axles[goal.end], way.operations)
            other = setup.min_cost_plan(plan.goals, ways={goal.name: way.code})
            yield from _weighed(setup, plan, other, goal.name, groups)


def _other_operations(setup: JobSetup, plan: Plan, at: str, group: frozenset[str]) -> Iterable[AlternativeWay]:
    """The operations of a group that the plan does without, each forced by barring the others."""
    for name in sorted(group - plan.members):
        forced = replace(setup, barred=setup.barred | group - {name})
        yield from _weighed(setup, plan, forced.min_cost_plan(plan.goals), at, [frozenset((name,))])


def _weighed(
    setup: JobSetup, plan: Plan, other: Plan | None, at: str, groups: Sequence[frozenset[str]]
) -> Iterable[AlternativeWay]:
    """Another plan against the plan shown; without another one, what is lacking for it."""
    named = frozenset[str]().union(*groups)
    if other is None:
        steps = tuple(sorted(named - plan.members))
        lacking = _lacking(setup, steps)
        if steps and lacking:
            yield AlternativeWay(at, steps[0], steps, _rests_on(setup, plan, steps), None, lacking)
        return
    steps = tuple(name for name in other.operations if name not in plan.members)
    last = [name for name in steps if name in named]
    if last:
        yield AlternativeWay(at, last[-1], steps, _rests_on(setup, plan, steps), other.cost - plan.cost)


def _rests_on(setup: JobSetup, plan: Plan, steps: Sequence[str]) -> tuple[str, ...]:
    """The steps of the plan that steps off it need."""
    return tuple(_named_in([group for name in steps for group in setup.graph.needs[name]], plan.operations))


def _lacking(setup: JobSetup, steps: Sequence[str]) -> tuple[str, ...]:
    """The first pieces written of the groups of equipment that are not at hand."""
    groups = (group for operation in setup.named(steps) for group in operation.equipment)
    return tuple(dict.fromkeys(group[0] for group in groups if not setup.equipment.intersection(group)))

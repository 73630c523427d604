"""The way in as a graph: the steps of a plan, what rests on what, and the ways not taken with what they would add."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from fitment.domain.procedures import Axle, Goal, Groups
from fitment.job.access import Plan, Site

CHOSEN, OTHER, AFTER = "chosen", "other", "after"
# Each way not taken is a plan of its own; a drawing of more than these would not be read.
MOST_OTHERS = 8


@dataclass(frozen=True, slots=True)
class WayStep:
    """A box of the graph. minutes: of the sides done, None where it is done elsewhere; goals: names of the goals that
    rest on it; state: chosen, other (on a way not taken) or after."""

    name: str
    title: str
    minutes: Fraction | None
    state: str
    goals: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class OtherWay:
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
class WaysIn:
    """`links` lead from what comes first to what rests on it; a goal stands under its name (`PART END.LOCATION`)."""

    goals: tuple[Goal, ...]
    steps: tuple[WayStep, ...]
    links: tuple[tuple[str, str], ...]
    others: tuple[OtherWay, ...]


def ways_in(site: Site, plan: Plan) -> WaysIn:
    """The graph of a plan.

    A way not taken is any alternative that the plan leaves: another way of a goal, another operation of a group of
    the way taken or of a need of a step on it. What it would add is the least plan that takes it, less the plan.

    Notes: only alternatives of one choice at a time are weighed, at most MOST_OTHERS of them.
    """
    by_goal = {goal.name: site.rests_on(goal, plan.members) for goal in plan.goals}
    others = list(dict.fromkeys(_others(site, plan)))[:MOST_OTHERS]
    strange = list(dict.fromkeys(step for other in others for step in other.steps))
    shown = [*plan.operations, *strange, *plan.after]
    steps = tuple(_step(site, plan, name, by_goal) for name in shown)
    links = [(needed, name) for name in plan.operations for needed in _needed(site.needs[name], plan.operations)]
    for goal in plan.goals:
        links += [(name, goal.name) for name in _needed(_groups_of(site, plan, goal), plan.operations)]
    links += [(needed, name) for name in plan.after for needed in _needed(site.needs[name], plan.after)]
    return WaysIn(plan.goals, steps, tuple(dict.fromkeys(links)), tuple(others))


def _step(site: Site, plan: Plan, name: str, by_goal: dict[str, frozenset[str]]) -> WayStep:
    operation = site.operations[name]
    state = OTHER if name not in plan.members else AFTER if name in plan.after else CHOSEN
    minutes = None if name in plan.elsewhere else operation.minutes(site.sides)
    goals = tuple(goal for goal, reached in by_goal.items() if name in reached)
    return WayStep(name, operation.title, minutes, state, goals)


def _needed(groups: Iterable[frozenset[str]], shown: Sequence[str]) -> list[str]:
    named = {name for group in groups for name in group}
    return [name for name in shown if name in named]


def _groups_of(site: Site, plan: Plan, goal: Goal) -> list[frozenset[str]]:
    way = next(way for way in site.ways(goal) if way.code == plan.ways[goal.name])
    return site.groups(site.car.axles[goal.end], way.operations)


def _others(site: Site, plan: Plan) -> Iterable[OtherWay]:
    for goal in plan.goals:
        yield from _other_ways(site, plan, goal)
        for group in _groups_of(site, plan, goal):
            yield from _alternatives(site, plan, goal.name, group)
    for name in plan.operations:
        for group in site.needs[name]:
            yield from _alternatives(site, plan, name, group)


def _other_ways(site: Site, plan: Plan, goal: Goal) -> Iterable[OtherWay]:
    """The other ways of a goal, each forced by leaving it alone at its place."""
    axle = site.workshop.axles[site.car.axles[goal.end]]
    place = axle.places[goal.location]
    for way in place.ways:
        if way.code == plan.ways[goal.name]:
            continue
        places = {**axle.places, goal.location: replace(place, ways=(way,))}
        forced = _with_axle(site, replace(axle, places=places))
        yield from _weighed(site, forced, plan, goal.name, site.groups(axle.code, way.operations))


def _alternatives(site: Site, plan: Plan, at: str, group: frozenset[str]) -> Iterable[OtherWay]:
    """The operations of a group that the plan does without, each forced by barring the ones it uses."""
    if not group - plan.members:
        return
    for name in sorted(group - plan.members):
        barred = (group & plan.members) | (group - plan.members - {name})
        forced = replace(site, barred=site.barred | barred)
        yield from _weighed(site, forced, plan, at, [frozenset((name,))])


def _weighed(site: Site, forced: Site, plan: Plan, at: str, groups: Sequence[frozenset[str]]) -> Iterable[OtherWay]:
    other = forced.least(plan.goals)
    if other is None:
        steps = tuple(sorted({name for group in groups for name in group} - plan.members))
        lacking = _lacking(site, steps)
        if steps and lacking:
            yield OtherWay(at, steps[0], steps, _rests(site, plan, steps), None, lacking)
        return
    steps = tuple(name for name in other.operations if name not in plan.members)
    last = [name for name in steps if any(name in group for group in groups)]
    if last:
        yield OtherWay(at, last[-1], steps, _rests(site, plan, steps), other.cost - plan.cost)


def _rests(site: Site, plan: Plan, steps: Sequence[str]) -> tuple[str, ...]:
    """The steps of the plan that steps off it need."""
    return tuple(_needed([group for name in steps for group in site.needs[name]], plan.operations))


def _lacking(site: Site, steps: Iterable[str]) -> tuple[str, ...]:
    """The first pieces written of the groups of equipment that are not at hand."""
    groups: list[Groups] = [site.operations[name].equipment for name in steps]
    return tuple(dict.fromkeys(
        group[0] for each in groups for group in each if not any(code in site.equipment for code in group)
    ))  # fmt: skip


def _with_axle(site: Site, axle: Axle) -> Site:
    workshop = replace(site.workshop, axles={**site.workshop.axles, axle.code: axle})
    return replace(site, workshop=workshop)

"""One plan for several possible cars: the dearest, since the fitter must be ready for it."""

from collections.abc import Sequence
from dataclasses import dataclass

from fitment.domain.procedures import Car, Goal, Workshop
from fitment.job.access import Plan, Site, opened


@dataclass(frozen=True, slots=True)
class Shown:
    """The car whose plan is shown, the plan, and whether another car's differs in steps or minutes."""

    site: Site
    plan: Plan
    varies: bool


def dearest(
    workshop: Workshop, cars: Sequence[Car], goals: Sequence[Goal], sides: int, equipment: frozenset[str]
) -> Shown | Site | None:
    """The plan of greatest cost over all possible cars.

    Ties: first variant, then the plan that would win as the least (fewest operations, sorted names), then the first
    of the variant's cars. A car without a
    plan makes the job one without a plan: the first such car's Site is returned; None when a car has no recorded
    axle at an end asked.
    """
    found: list[tuple[Site, Plan]] = []
    seen: set[tuple[str, tuple[str, ...], frozenset[str]]] = set()
    for car in sorted(cars, key=lambda c: (c.variant, c.order)):
        ends = opened(car, workshop, goals)
        if ends is None:
            return None
        site = Site(workshop, car, ends, sides, equipment)
        key = (car.variant, tuple(car.axles[end] for end in ends), site.missing)
        if key in seen:
            continue
        seen.add(key)
        same = next((plan for other, plan in found if _alike(other, site)), None)
        plan = same or site.least(goals)
        if plan is None:
            return site
        found.append((site, plan))
    if not found:
        return None
    most = max(plan.cost for _, plan in found)
    site, plan = min(
        ((site, plan) for site, plan in found if plan.cost == most),
        key=lambda pair: (pair[0].car.variant, len(pair[1].members), sorted(pair[1].members)),
    )
    return Shown(site, plan, len({_look(plan) for _, plan in found}) > 1)


def _alike(one: Site, other: Site) -> bool:
    """Whether two cars have the same axles and the same operations there: one plan serves both."""
    return one.missing == other.missing and all(one.car.axles[end] == other.car.axles[end] for end in one.ends)


def _look(plan: Plan) -> tuple[object, ...]:
    return plan.operations, plan.after, plan.elsewhere, plan.minutes, plan.after_minutes

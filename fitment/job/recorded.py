"""What recorded jobs teach: each compared with the plan for exactly its scope, with today's facts."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from fitment.domain.procedures import Car, Goal, Workshop
from fitment.job.access import Plan, Site
from fitment.job.labour import Factor, axle_factor, log_ratio
from fitment.job.several_cars import Shown, dearest


@dataclass(frozen=True, slots=True)
class RecordedJob:
    """Minutes taken for a scope. `cars`: the possible cars of its variant that its parts fit today; `car`: the
    pseudonym of the car worked on, empty where not kept."""

    cars: tuple[Car, ...]
    goals: tuple[Goal, ...]
    sides: int
    equipment: frozenset[str]
    after_work: bool
    minutes: Fraction
    car: str = ""


def minutes_by_axle(site: Site, plan: Plan) -> dict[str, Fraction]:
    """Way in, refit and bench of a plan by axle; `car` steps stand under the axle that names them."""
    minutes = {site.car.axles[end]: Fraction(0) for end in site.ends}
    for name in plan.operations:
        operation = site.operations[name]
        minutes[operation.axle] += operation.minutes(plan.sides)
    sent = {work.part for work in plan.bench if work.elsewhere}
    for goal in plan.goals:
        if goal.part.bench is not None and goal.part.code not in sent:
            axle = site.car.axles[goal.end]
            pieces = site.workshop.axles[axle].places[goal.location].pieces_of(plan.sides)
            minutes[axle] += goal.part.bench.expected * pieces
    return minutes


def axle_factors(workshop: Workshop, jobs: Iterable[RecordedJob], axles: Sequence[str]) -> Mapping[str, Factor]:
    """The factor of each axle. Jobs on both ends, without a plan today or of no minutes teach nothing."""
    ratios: dict[str, list[tuple[str, float]]] = {axle: [] for axle in axles}
    for job in jobs:
        if len({goal.end for goal in job.goals}) != 1:
            continue
        shown = dearest(workshop, job.cars, job.goals, job.sides, job.equipment)
        if not isinstance(shown, Shown):
            continue
        axle = shown.site.car.axles[job.goals[0].end]
        planned = shown.plan.minutes + (shown.plan.after_minutes if job.after_work else 0)
        ratio = log_ratio(job.minutes, planned)
        if ratio is not None and axle in ratios:
            ratios[axle].append((job.car, ratio))
    return {axle: axle_factor(found) for axle, found in ratios.items()}

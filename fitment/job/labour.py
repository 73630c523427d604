"""How long a job takes: what is expected of its plan, and what recorded jobs teach about an axle.

Each recorded job is compared with the plan for exactly its scope, with today's facts. Times of one car's operations
move together, so what is learnt is one factor per axle: y = ln(observed / planned).
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, exp, log, sqrt

from fitment.domain.procedures import Goal, JobCar, Workshop
from fitment.job.access_plan import CostliestCar, JobSetup, Plan, costliest_car

# unit: log ratio; source: common practice, no source
PRIOR_SPREAD = 0.20  # tau: between axles
JOB_SPREAD = 0.25  # sigma: between jobs on one axle
Z_80 = 0.8416  # standard normal quantile at 0.80, four places


@dataclass(frozen=True, slots=True)
class Factor:
    """What an axle's recorded jobs say: cars counted, posterior mean and variance of its log factor."""

    cars: int = 0
    mean: float = 0.0
    variance: float = PRIOR_SPREAD**2


@dataclass(frozen=True, slots=True)
class RecordedJob:
    """Minutes taken for a scope. `cars`: the possible cars of its variant that its parts fit today; `car`: the
    pseudonym of the car worked on, empty where not kept."""

    cars: tuple[JobCar, ...]
    goals: tuple[Goal, ...]
    sides: int
    equipment: frozenset[str]
    after_work: bool
    minutes: Fraction
    car: str = ""


@dataclass(frozen=True, slots=True)
class Estimate:
    """Minutes of the next job: median, one-sided 80th percentile, and how many cars they rest on."""

    median: Fraction | float
    upper: float
    observations: int


def axle_factor(jobs: Iterable[tuple[str, float]]) -> Factor:
    """Normal-normal shrinkage of an axle's log factor towards 0.

    jobs: (car, y) pairs; jobs of one car count once, by their mean; an empty car is a car of its own.

    Notes: w = n tau^2 / (n tau^2 + sigma^2), mean w ybar, variance (1 - w) tau^2.
    References: Gelman et al., Bayesian Data Analysis, 3rd ed., eq. 5.17 with known variances (from memory).

    >>> factor = axle_factor([("a", 0.3), ("b", 0.1), ("c", 0.2), ("c", 0.32)])
    >>> factor.cars, round(factor.mean, 6)
    (3, 0.144658)
    """
    by_car: dict[object, list[float]] = {}
    for number, (car, ratio) in enumerate(jobs):
        by_car.setdefault(car or number, []).append(ratio)
    cars = len(by_car)
    if not cars:
        return Factor()
    mean = sum(sum(ratios) / len(ratios) for ratios in by_car.values()) / cars
    weight = cars * PRIOR_SPREAD**2 / (cars * PRIOR_SPREAD**2 + JOB_SPREAD**2)
    return Factor(cars, weight * mean, (1 - weight) * PRIOR_SPREAD**2)


def estimate(minutes: Mapping[str, Fraction], factors: Mapping[str, Factor]) -> Estimate:
    """Median and 80th percentile of a job with planned `minutes` by axle, the axles' factors moving together.

    Without recorded jobs the median is the plan, exact.

    >>> estimate({"F1": Fraction(95)}, {}).median
    Fraction(95, 1)
    """
    median: Fraction | float = Fraction(0)
    upper, cars = 0.0, 0
    for axle, planned in minutes.items():
        factor = factors.get(axle, Factor())
        median += planned * exp(factor.mean) if factor.cars else planned
        upper += float(planned) * exp(factor.mean + Z_80 * sqrt(factor.variance + JOB_SPREAD**2))
        cars += factor.cars
    return Estimate(median, upper, cars)


def trade_hours(minutes: Fraction | float) -> float:
    """Hours up to the next tenth; an exact tenth stays.

    >>> trade_hours(Fraction(18)), trade_hours(Fraction(181, 10))
    (0.3, 0.4)
    """
    tenths = minutes / 6
    # a computed median may miss an exact tenth by its rounding; an exact one is compared exactly
    return ceil(tenths - 1e-9 if isinstance(tenths, float) else tenths) / 10


def minutes_by_axle(setup: JobSetup, plan: Plan) -> dict[str, Fraction]:
    """Way in, refit and bench of a plan by axle; `car` operations stand under the axle that names them."""
    minutes = dict.fromkeys(setup.axles, Fraction(0))
    for operation in setup.named(plan.operations):
        minutes[operation.axle] += operation.minutes(plan.sides)
    elsewhere = {work.part for work in plan.bench if work.elsewhere}
    for goal in plan.goals:
        if goal.part.bench is not None and goal.part.code not in elsewhere:
            pieces = setup.workshop.location(setup.car, goal).pieces_of(plan.sides)
            minutes[setup.car.axles[goal.end]] += goal.part.bench.expected * pieces
    return minutes


def axle_factors(workshop: Workshop, jobs: Iterable[RecordedJob], axles: Sequence[str]) -> dict[str, Factor]:
    """The factor of each axle. Jobs on both ends, without a plan today or of no minutes teach nothing."""
    log_ratios: dict[str, list[tuple[str, float]]] = {axle: [] for axle in axles}
    for job in jobs:
        if len({goal.end for goal in job.goals}) != 1:
            continue
        found = costliest_car(workshop, job.cars, job.goals, job.sides, job.equipment)
        if not isinstance(found, CostliestCar):
            continue
        (axle,) = found.setup.axles
        planned = found.plan.minutes + (found.plan.after_minutes if job.after_work else 0)
        if axle in log_ratios and job.minutes > 0 and planned > 0:
            log_ratios[axle].append((job.car, log(job.minutes / planned)))
    return {axle: axle_factor(ratios) for axle, ratios in log_ratios.items()}

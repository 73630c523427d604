"""How long a job takes: three-point estimates, and what recorded jobs teach about an axle.

Times of one car's operations move together, so what is learnt is one factor per axle: y = ln(observed / planned).
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, exp, log, sqrt

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
class Estimate:
    """Minutes of the next job: median, one-sided 80th percentile, and how many cars they rest on."""

    median: Fraction | float
    upper: float
    observations: int


def log_ratio(observed: Fraction, planned: Fraction) -> float | None:
    """ln(observed / planned) of minutes; None where either is nought and nothing can be learnt."""
    return log(observed / planned) if observed > 0 and planned > 0 else None


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

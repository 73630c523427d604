"""Three-point estimates, shrinkage, the 80th percentile and tenths of an hour against values.json."""

from decimal import Decimal
from fractions import Fraction

import pytest

from fitment.domain.procedures import ThreePoint
from fitment.job.labour import JOB_SPREAD, PRIOR_SPREAD, Z_80, axle_factor, estimate, trade_hours
from tests.published import VALUES

POINTS = ["skew_right", "skew_left", "point", "equal_steps"]
JOBS = ["labour_no_jobs", "labour_one_job", "labour_three_jobs", "labour_ten_jobs_below"]


def decimals(values: list[float]) -> list[Decimal]:
    return [Decimal(str(value)) for value in values]


@pytest.mark.parametrize("name", POINTS)
def test_three_point_estimate(name: str) -> None:
    """(a + 4m + b)/6: derived, compared with the mean of the modified beta distribution."""
    case = VALUES["three_point"][name]
    points = ThreePoint(*decimals([case["inputs"][key] for key in ("a", "m", "b")]))
    assert float(points.expected) == pytest.approx(case["expected"]["mean"], abs=1e-9), case["source"]


def test_three_point_estimates_of_a_textbook_network() -> None:
    """Hillier and Lieberman, Reliable Construction Co.: a worked example from memory, recomputed with fractions."""
    case = VALUES["three_point"]["textbook_network"]
    for activity, estimates in case["inputs"]["estimates_a_m_b"].items():
        assert ThreePoint(*decimals(estimates)).expected == case["expected"]["mean"][activity], case["source"]


@pytest.mark.parametrize("name", JOBS)
def test_shrinkage_of_an_axle(name: str) -> None:
    """Normal-normal shrinkage: derived, compared with numerical integration."""
    case = VALUES["shrinkage"][name]
    inputs, expected = case["inputs"], case["expected"]
    assert (inputs["tau"], inputs["sigma"], inputs["z"]) == (PRIOR_SPREAD, JOB_SPREAD, Z_80)
    factor = axle_factor([(f"car{number}", ratio) for number, ratio in enumerate(inputs["log_ratios"])])
    assert factor.cars == expected["n"]
    assert factor.mean == pytest.approx(expected["theta"], rel=1e-9, abs=1e-12), case["source"]
    assert factor.variance == pytest.approx(expected["V"], rel=1e-9), case["source"]
    labour = estimate({"F1": Fraction(str(inputs["plan_minutes"]))}, {"F1": factor})
    assert float(labour.median) == pytest.approx(expected["median_minutes"], rel=1e-9), case["source"]
    assert labour.upper == pytest.approx(expected["upper80_minutes"], rel=1e-9), case["source"]
    assert trade_hours(labour.median) == expected["display_hours"]


def test_normal_quantile() -> None:
    """z(0.80): scipy.stats.norm.ppf 1.17.1, to the four places of the table."""
    assert pytest.approx(VALUES["quantiles"]["normal"]["expected"]["0.8"], abs=5e-5) == Z_80


def test_hours_round_up_to_the_next_tenth() -> None:
    """Tenths of an hour: common practice of the trade, no source; exact by decimal arithmetic."""
    case = VALUES["shrinkage"]["hours_round_up"]
    for minutes, hours in zip(case["inputs"]["minutes"], case["expected"], strict=True):
        assert trade_hours(Fraction(str(minutes))) == hours

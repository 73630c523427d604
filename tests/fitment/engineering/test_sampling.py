"""Tolerance intervals against ISO 16269-6 factors, pooled spreads against textbooks, and an integral of its own."""

from math import sqrt

import mpmath
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitment.engineering.errors import BadSample
from fitment.engineering.sampling import Sample, merge_samples, pool_spread, tolerance_factor, tolerance_interval
from tests.published import VALUES

QUANTILES = VALUES["quantiles"]


def sample_of(pieces: list[float], uncertainty: float = 0.0) -> Sample:
    return merge_samples([Sample(piece, 1, None, uncertainty) for piece in pieces])


def test_factors():
    # ISO 16269-6, two-sided, unknown variance: PyPI toleranceinterval 1.0.3, and printed tables
    case = QUANTILES["tolerance_factor_two_sided_95_95"]
    for pieces, expected in case["expected"].items():
        found = tolerance_factor(int(pieces), int(pieces) - 1)
        assert found == pytest.approx(expected, rel=case["tolerance"]["relative"]), case["source"]


def test_factors_with_pooled_degrees_of_freedom():
    # ISO 16269-6, several samples with a common variance (derived; Monte Carlo)
    case = QUANTILES["tolerance_factor_pooled"]
    for (pieces, degrees), expected in zip(case["inputs"]["n_and_degrees_of_freedom"], case["expected"], strict=True):
        assert tolerance_factor(pieces, degrees) == pytest.approx(expected, rel=case["tolerance"]["relative"])


@pytest.mark.parametrize(("pieces", "degrees"), [(1, 9), (2, 1), (4, 3), (6, 25)])
def test_factors_solve_the_defining_integral(pieces, degrees):
    factor = mpmath.mpf(tolerance_factor(pieces, degrees))

    def confidence_at(position):
        width = mpmath.findroot(
            lambda half: mpmath.ncdf(position + half) - mpmath.ncdf(position - half) - 0.95, position + 2
        )
        enough = mpmath.gammainc(degrees / 2, degrees * (width / factor) ** 2 / 2, regularized=True)
        return 2 * mpmath.npdf(position, 0, 1 / mpmath.sqrt(pieces)) * enough

    confidence = mpmath.quad(confidence_at, [0, 1 / sqrt(pieces), 3 / sqrt(pieces), 8 / sqrt(pieces)])
    assert float(confidence) == pytest.approx(0.95, abs=1e-7)


@pytest.mark.parametrize("name", ["pooled_sd_two_groups_exact", "pooled_sd_unequal_groups"])
def test_pooled_spread(name):
    case = QUANTILES[name]
    found = pool_spread([sample_of(group) for group in case["inputs"]["groups"]])
    assert found.spread_mm == pytest.approx(case["expected"]["pooled_sd"], abs=case["tolerance"]["absolute"]), case[
        "source"
    ]
    assert found.degrees_of_freedom == case["expected"]["degrees_of_freedom"]


def test_pooled_spread_of_the_textbooks():
    # Montgomery, Design and Analysis of Experiments, section 2.4.1 and Example 3.1 (from memory, recomputed)
    case = QUANTILES["pooled_sd_two_groups"]
    found = pool_spread([sample_of(group) for group in case["inputs"]["groups"]])
    assert (found.spread_mm, found.degrees_of_freedom) == (pytest.approx(0.284, abs=0.001), 18)
    case = QUANTILES["pooled_sd_four_groups"]
    found = pool_spread([sample_of(group) for group in case["inputs"]["groups"]])
    assert (found.spread_mm, found.degrees_of_freedom) == (pytest.approx(18.27, abs=0.01), 16)


def test_interval_of_a_bore_with_its_own_spread():
    case = QUANTILES["tolerance_interval_bore_own_s"]
    given_ = case["inputs"]
    size = tolerance_interval(
        Sample(given_["mean"], given_["n"], given_["s"], given_["instrument_standard_uncertainty"])
    )
    expected = case["expected"]["interval"]
    assert (size.interval.low, size.interval.high) == pytest.approx(expected, abs=1e-6), case["source"]
    assert (size.pooled, size.degrees_of_freedom) == (False, given_["degrees_of_freedom"])


def test_interval_of_a_bore_with_a_pooled_spread():
    case = QUANTILES["tolerance_interval_bore_pooled_s"]
    given_ = case["inputs"]
    own = Sample(given_["mean"], given_["n"], given_["s"], given_["instrument_standard_uncertainty"])
    other = Sample(58.0, 11, given_["s"], 0.001)
    size = tolerance_interval(own, pool_spread([own, other]))
    expected = case["expected"]["interval"]
    assert (size.interval.low, size.interval.high) == pytest.approx(expected, abs=1e-6), case["source"]
    assert (size.pooled, size.degrees_of_freedom) == (True, given_["degrees_of_freedom"])


def test_ten_pieces_stand_on_their_own():
    other = Sample(58.0, 30, 0.02, 0.0)
    ten, nine = (Sample(62.0, pieces, 0.004, 0.0) for pieces in (10, 9))
    assert tolerance_interval(ten, pool_spread([ten, other])).spread_mm == 0.004
    assert tolerance_interval(nine, pool_spread([nine, other])).degrees_of_freedom == 37
    assert tolerance_interval(nine, pool_spread([nine])).pooled is False


def test_one_piece_needs_its_process():
    assert tolerance_interval(Sample(62.0, 1, None, 0.002), pool_spread([Sample(58.0, 5, 0.006, 0.0)])).pooled
    with pytest.raises(BadSample):
        tolerance_interval(Sample(62.0, 1, None, 0.002))
    with pytest.raises(BadSample):
        tolerance_interval(Sample(62.0, 1, None, 0.002), pool_spread([Sample(58.0, 1, None, 0.002)]))


@given(st.lists(st.floats(60, 64), min_size=4, max_size=9), st.integers(1, 3))
@settings(max_examples=50)
def test_sessions_merge_into_one_sample(pieces, cut):
    parts = [pieces[:cut], pieces[cut:]]
    sessions = [merge_samples([Sample(piece, 1, None, 0.001) for piece in part]) for part in parts]
    whole, in_two = sample_of(pieces, 0.001), merge_samples(sessions)
    assert in_two.mean_mm == pytest.approx(whole.mean_mm)
    assert in_two.spread_mm == pytest.approx(whole.spread_mm, abs=1e-9)
    assert (in_two.pieces, in_two.degrees_of_freedom) == (len(pieces), len(pieces) - 1)


def test_the_coarser_instrument_counts():
    assert merge_samples([Sample(62.0, 2, 0.001, 0.002), Sample(62.0, 2, 0.001, 0.005)]).uncertainty_mm == 0.005


@pytest.mark.parametrize("rows", [[], [Sample(62.0, 0, None, 0.0)], [Sample(62.0, 3, -0.1, 0.0)]])
def test_a_sample_that_says_nothing(rows):
    with pytest.raises(BadSample):
        merge_samples(rows)

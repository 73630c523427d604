"""Fewest sizes and the best few, against published cases and every set of ends."""

from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitment.engineering.sizes import most_reached, pierce
from fitment.engineering.tolerances import Interval
from tests.published import VALUES

PIERCING = VALUES["piercing"]
PLAIN = [name for name, case in PIERCING.items() if "greedy_points" in case["expected"]]

intervals = st.lists(
    st.tuples(st.integers(0, 20), st.integers(0, 6)).map(lambda pair: Interval(pair[0], pair[0] + pair[1])), max_size=8
)


def serves(interval, sizes):
    return any(size in interval for size in sizes)


def reached(served, weights, sizes):
    pairs = zip(served, weights, strict=True)
    return sum(weight for interval, weight in pairs if serves(interval, sizes))


@pytest.mark.parametrize("name", PLAIN)
def test_fewest(name):
    # Cormen et al., section 16.1 (from memory) and derived cases; brute force over all sets of right ends
    case = PIERCING[name]
    found = pierce([Interval(*ends) for ends in case["inputs"]["intervals_closed"]])
    assert found == case["expected"]["greedy_points"], case["source"]
    assert len(found) == case["expected"]["least_points"]


def test_best_few():
    case = PIERCING["most_weight_with_k_points"]
    served = [Interval(*ends) for ends in case["inputs"]["intervals_closed"]]
    weights = case["inputs"]["weights"]
    for at_most, weight in zip(case["inputs"]["k"], case["expected"]["weight"], strict=True):
        assert reached(served, weights, most_reached(served, weights, at_most)) == weight
    case = PIERCING["greedy_by_weight_is_wrong"]
    served = [Interval(*ends) for ends in case["inputs"]["intervals_closed"]]
    weights = case["inputs"]["weights"]
    assert reached(served, weights, most_reached(served, weights, case["inputs"]["k"])) == case["expected"]["weight"]


@given(intervals)
@settings(max_examples=100)
def test_no_smaller_set_pierces_all(served):
    found = pierce(served)
    assert all(serves(interval, found) for interval in served)
    ends = sorted({interval.high for interval in served})
    for fewer in combinations(ends, max(0, len(found) - 1)):
        assert not served or any(not serves(interval, fewer) for interval in served)


@given(intervals, st.integers(0, 4), st.data())
@settings(max_examples=150)
def test_no_other_few_reach_more(served, at_most, data):
    weights = [data.draw(st.integers(0, 9)) for _ in served]
    found = most_reached(served, weights, at_most)
    assert len(found) <= at_most
    assert found == sorted(found)
    ends = sorted({interval.high for interval in served})
    best = max(reached(served, weights, few) for count in range(at_most + 1) for few in combinations(ends, count))
    assert reached(served, weights, found) == best

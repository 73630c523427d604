"""Supersession chains against a brute-force closure of the definition in words."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.chains import Chain, Step, ring

NUMBERS = "ABCDEF"
steps_without_ring = st.lists(
    st.tuples(
        st.sampled_from([(old, new) for old in NUMBERS for new in NUMBERS if old < new]),
        st.sampled_from(["one_way", "both_ways", "with_rework"]),
    ),
    unique_by=lambda item: item[0],
    max_size=9,
).map(lambda items: [Step(old, new, exchange) for (old, new), exchange in items])


def links(steps):
    """Every allowed 'may be used in place of', as (asked, instead, with rework)."""
    for step in steps:
        yield step.old, step.new, step.exchange == "with_rework"
        if step.exchange == "both_ways":
            yield step.new, step.old, False


def closure(steps, start):
    """All paths without repetition, one by one: number -> whether every path to it takes rework."""
    found, paths = {}, [([start], False)]
    while paths:
        path, rework = paths.pop()
        for asked, instead, takes_rework in links(steps):
            if asked == path[-1] and instead not in path:
                paths.append(([*path, instead], rework or takes_rework))
                found[instead] = found.get(instead, True) and (rework or takes_rework)
    return found


@given(steps_without_ring)
def test_replaced_by_is_the_closure(steps):
    chain = Chain(steps)
    for number in NUMBERS:
        assert chain.replaced_by(number) == closure(steps, number)


@given(steps_without_ring)
def test_replaces_is_replaced_by_turned_round(steps):
    chain = Chain(steps)
    for number in NUMBERS:
        turned = {other: closure(steps, other)[number] for other in NUMBERS if number in closure(steps, other)}
        assert chain.replaces(number) == turned


@given(steps_without_ring)
def test_current_numbers_have_nothing_newer(steps):
    chain = Chain(steps)
    for number in NUMBERS:
        ends = set(chain.current(number))
        assert ends
        assert not ends & {step.old for step in steps}


def test_current_reached_with_and_without_rework():
    steps = [
        Step("A", "B", "with_rework"),
        Step("A", "C", "one_way"),
        Step("C", "B", "one_way"),
        Step("A", "D", "with_rework"),
    ]
    assert Chain(steps).current("A") == {"B": False, "D": True}


def test_both_ways_does_not_make_the_old_number_current():
    assert Chain([Step("A", "B", "both_ways")]).current("B") == {"B": False}


def test_nearest_forwards_takes_the_first_layer_that_has_any():
    chain = Chain(
        [Step("A", "B", "one_way"), Step("A", "C", "one_way"), Step("B", "D", "one_way"), Step("C", "E", "one_way")]
    )
    assert chain.nearest_forwards("A", lambda number: number in "CDE") == ["C"]
    assert chain.nearest_forwards("A", lambda number: number in "DE") == ["D", "E"]
    assert chain.nearest_forwards("A", lambda number: False) == []


@given(steps_without_ring)
def test_no_ring_where_numbers_only_rise(steps):
    assert ring(steps) is None


@given(st.permutations(NUMBERS), steps_without_ring)
def test_a_ring_is_found_and_is_one(order, others):
    steps = [Step(old, new, "one_way") for old, new in pairwise([*order[:4], order[0]])] + others
    found = ring(steps)
    assert found is not None
    recorded = {(step.old, step.new) for step in steps}
    assert all(pair in recorded for pair in pairwise([*found, found[0]]))


@pytest.mark.parametrize("length", [2_000])
def test_long_chains_do_not_exhaust_the_stack(length):
    steps = [Step(f"{place:05d}", f"{place + 1:05d}", "one_way") for place in range(length)]
    assert list(Chain(steps).current("00000")) == [f"{length:05d}"]
    assert ring(steps) is None

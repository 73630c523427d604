"""The plan is the least there is, by two independent judges; its orders are valid; more never costs less."""

import random
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitment.domain.procedures import Goal
from fitment.job.access_plan import JobSetup, Plan
from fitment.job.comparisons import saved_minutes
from tests.fitment.job.graphs import random_site
from tests.fitment.job.oracles import Facts, Model, is_plan, least_by_trying, rests_on

seeds = st.integers(0, 10**9)


def bench_minutes(plan: Plan) -> Fraction:
    return sum((work.minutes for work in plan.bench if work.minutes is not None), Fraction(0))


@settings(max_examples=150, deadline=None)
@given(seeds, st.integers(4, 6))
def test_least_of_all_sets(seed: int, size: int) -> None:
    site, goals = random_site(random.Random(seed), size)
    expected = least_by_trying(site, goals)
    plan = site.min_cost_plan(goals)
    if expected is None:
        assert plan is None
        return
    assert plan is not None
    assert plan.proven
    assert (plan.cost - bench_minutes(plan), len(plan.members), sorted(plan.members)) == expected


@pytest.mark.parametrize("seed", range(24))
@pytest.mark.parametrize("all_equipment", [True, False])
def test_least_by_a_general_purpose_solver(seed: int, all_equipment: bool) -> None:
    """Up to 60 operations an axle; source of the expected value: OR-tools CP-SAT on a model of the definition."""
    rng = random.Random(seed)
    site, goals = random_site(rng, (15, 30, 60)[seed % 3], all_equipment=all_equipment)
    model = Model(site, goals)
    expected, plan = model.least(), site.min_cost_plan(goals)
    if expected is None:
        assert plan is None
        return
    assert plan is not None
    assert plan.proven
    minutes = plan.cost - bench_minutes(plan)
    assert (minutes, len(plan.members)) == expected
    assert not model.has_smaller_names(plan.members, minutes)


@settings(max_examples=150, deadline=None)
@given(seeds, st.sampled_from([8, 20, 40]))
def test_orders_are_valid(seed: int, size: int) -> None:
    site, goals = random_site(random.Random(seed), size)
    plan = site.min_cost_plan(goals)
    if plan is None:
        return
    facts = Facts(site)
    assert is_plan(set(plan.members), facts, goals)
    done: set[str] = set()
    for position, name in enumerate(plan.operations):
        assert all(group & done for group in facts.needs(name))
        assert name in facts.here
        ready = [n for n in plan.operations[position:] if all(group & done for group in facts.needs(n))]
        assert name == min(ready)
        done.add(name)
    for position, name in enumerate(plan.after):
        ready = [n for n in plan.after[position:] if all(group & done for group in facts.needs(n))]
        assert name == min(ready)
        done.add(name)
    chosen = [next(w.operations for w in site.ways(goal) if w.code == plan.ways[goal.name]) for goal in goals]
    groups = [g for goal, way in zip(goals, chosen, strict=True) for g in facts.groups(site.car.axles[goal.end], way)]
    assert set(plan.operations) == rests_on(groups, set(plan.members), facts)
    assert plan.elsewhere == plan.members - facts.here


@settings(max_examples=150, deadline=None)
@given(seeds, st.sampled_from(["beam", "clamps", "lift", "press", "puller", "stands"]))
def test_never_dearer_with_more_equipment(seed: int, piece: str) -> None:
    """Where nothing is done elsewhere, so that the same work is compared."""
    site, goals = random_site(random.Random(seed), 20)
    plan = site.min_cost_plan(goals)
    if plan is None or plan.elsewhere or any(work.elsewhere for work in plan.bench):
        return
    richer = replace(site, equipment=site.equipment | {piece}).min_cost_plan(goals)
    assert richer is not None
    assert richer.cost <= plan.cost


@settings(max_examples=100, deadline=None)
@given(seeds)
def test_one_job_for_each_part_is_never_less_than_the_basket(seed: int) -> None:
    site, goals = random_site(random.Random(seed), 20)
    plan = site.min_cost_plan(goals)
    if plan is not None:
        assert saved_minutes(site, plan) >= 0


@settings(max_examples=60, deadline=None)
@given(seeds)
def test_another_goal_is_never_free_of_the_first(seed: int) -> None:
    site, goals = random_site(random.Random(seed), 20)
    plan = site.min_cost_plan(goals)
    fewer = site.min_cost_plan(goals[:1])
    if plan is not None:
        assert fewer is not None
        assert fewer.cost <= plan.cost


def hard_site(size: int) -> tuple[JobSetup, list[Goal]]:
    return random_site(random.Random(7), size, all_equipment=True)


def test_a_node_limit_says_that_nothing_is_proven() -> None:
    """The limit counts work: the same search ends at the same plan every time."""
    site, goals = hard_site(40)
    full = site.min_cost_plan(goals)
    assert full is not None
    assert full.branches > 1
    first, second = (site.min_cost_plan(goals, node_limit=1) for _ in range(2))
    assert first is not None
    assert not first.proven
    assert first == second
    assert first.cost >= full.cost
    assert is_plan(set(first.members), Facts(site), goals)


@pytest.mark.parametrize(("size", "branches"), [(30, 821), (60, 249)])
def test_the_search_stays_within_the_branches_it_is_known_to_take(size: int, branches: int) -> None:
    """A bound or an order of choices that is lost finds the same plans with more work."""
    sites = [
        random_site(random.Random(seed), size, all_equipment=seed % 2 == 0) for seed in range(40 if size == 30 else 20)
    ]
    plans = [site.min_cost_plan(goals) for site, goals in sites]
    assert sum(plan.branches for plan in plans if plan is not None) <= branches
